// Package auth is who a server is, and whom it lets found a farm on it.
package auth

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"turnrow/sync/cert"
	"turnrow/sync/logstore/keyfile"
)

// The blocks of the identity file.
const (
	blockKey  = "PRIVATE KEY"
	blockCert = "CERTIFICATE"
)

// ErrIdentity reports an identity file that does not hold a key with its
// certificate.
var ErrIdentity = errors.New("not a server's key and certificate")

// Identity is a server's key with the certificate by which devices know it.
// Browsers take no Ed25519 certificate, so the key is ECDSA on P-256.
type Identity struct {
	Cert   tls.Certificate
	secret []byte // what founding codes are sealed with
}

// Load reads a server's identity from a file that only its user can read.
func Load(path string) (Identity, error) {
	b, err := keyfile.Read(path)
	if err != nil {
		return Identity{}, err
	}
	id, err := parse(b)
	if err != nil {
		return Identity{}, fmt.Errorf("%s: %w", path, err)
	}
	return id, nil
}

// LoadOrMake reads a server's identity, and makes it first where there is
// none.
func LoadOrMake(path string, now time.Time) (Identity, error) {
	id, err := Load(path)
	if !errors.Is(err, fs.ErrNotExist) {
		return id, err
	}
	b, err := makeIdentity(now)
	if err != nil {
		return Identity{}, err
	}
	if err := keyfile.Write(path, b); err != nil {
		return Identity{}, err
	}
	return Load(path)
}

// Pin is the pin by which devices know the server.
func (i Identity) Pin() cert.Pin { return cert.PinOf(i.Cert.Certificate[0]) }

func makeIdentity(now time.Time) ([]byte, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	c, err := cert.Make(key, "turnrow", now)
	if err != nil {
		return nil, err
	}
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	out := pem.EncodeToMemory(&pem.Block{Type: blockKey, Bytes: der})
	return append(out, pem.EncodeToMemory(&pem.Block{Type: blockCert, Bytes: c.Certificate[0]})...), nil
}

func parse(b []byte) (Identity, error) {
	c, err := tls.X509KeyPair(b, b)
	if err != nil {
		return Identity{}, fmt.Errorf("%w: %w", ErrIdentity, err)
	}
	secret, err := foundingSecret(c.PrivateKey)
	return Identity{Cert: c, secret: secret}, err
}

func foundingSecret(key crypto.PrivateKey) ([]byte, error) {
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	return derive(der)
}
