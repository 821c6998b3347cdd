// Package cert makes the certificates that replicas show each other, and the
// pins by which they are known. A replica's certificate is its own: no
// authority stands behind it. A server's is known by its pin, which comes with
// an invite; a device's is over the device's own key, which the record names.
package cert

import (
	"crypto"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"math/big"
	"time"
)

const (
	// early is how far back a certificate begins: phones whose clock is a day
	// late must still connect.
	early = 48 * time.Hour
	years = 10
	// serialBits is the size of a serial number: RFC 5280, section 4.1.2.2,
	// allows 20 octets with the top bit clear.
	serialBits = 127
)

// ErrPin reports a text that is no pin.
var ErrPin = errors.New("not a pin")

// Make is a certificate that key signs itself, on the name given, from two
// days before now for ten years.
func Make(key crypto.Signer, name string, now time.Time) (tls.Certificate, error) {
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), serialBits))
	if err != nil {
		return tls.Certificate{}, err
	}
	t := &x509.Certificate{
		SerialNumber: serial,
		Subject:      pkix.Name{CommonName: name},
		DNSNames:     []string{name},
		NotBefore:    now.Add(-early),
		NotAfter:     now.AddDate(years, 0, 0),
		KeyUsage:     x509.KeyUsageDigitalSignature,
		ExtKeyUsage:  []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	der, err := x509.CreateCertificate(rand.Reader, t, t, key.Public(), key)
	if err != nil {
		return tls.Certificate{}, err
	}
	leaf, err := x509.ParseCertificate(der)
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key, Leaf: leaf}, err
}

// TLS is how a replica takes connections with its certificate: TLS 1.3 and
// nothing older. It gives no tickets for a shorter handshake later: one is as
// long as the certificate that it would save.
func TLS(c tls.Certificate) *tls.Config {
	return &tls.Config{Certificates: []tls.Certificate{c}, MinVersion: tls.VersionTLS13, SessionTicketsDisabled: true}
}

// Pin names a certificate: SHA-256 of its DER bytes.
type Pin [sha256.Size]byte

// PinOf is the pin of a certificate, by its DER bytes.
func PinOf(der []byte) Pin { return sha256.Sum256(der) }

// IsZero says whether there is no pin.
func (p Pin) IsZero() bool { return p == Pin{} }

// String is the pin as addresses write it: base64url without padding.
func (p Pin) String() string { return base64.RawURLEncoding.EncodeToString(p[:]) }

// Audience is the pin as tokens name a server: lower-case hex.
func (p Pin) Audience() string { return hex.EncodeToString(p[:]) }

// ParsePin reads a pin: base64url without padding (43 characters), or hex (64,
// with or without colons). Anything else gives ErrPin.
func ParsePin(s string) (Pin, error) {
	b, err := base64.RawURLEncoding.DecodeString(s)
	if err != nil || len(b) != len(Pin{}) {
		b, err = hex.DecodeString(withoutColons(s))
	}
	if err != nil || len(b) != len(Pin{}) {
		return Pin{}, fmt.Errorf("%w: %q: want 43 characters of base64url, or 64 of hex", ErrPin, s)
	}
	return Pin(b), nil
}

func withoutColons(s string) string {
	b := make([]byte, 0, len(s))
	for i := range len(s) {
		if s[i] != ':' {
			b = append(b, s[i])
		}
	}
	return string(b)
}
