package auth

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net/http"
	"os"
	"slices"
	"sync"
	"time"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"

	"turnrow/sync/cert"
	"turnrow/sync/logstore/keyfile"
)

// ErrTerms reports that the terms of the authority have not been accepted.
var ErrTerms = errors.New("the authority asks that its terms are accepted first")

// shown is how many certificates a server remembers that it has shown: the one
// before a renewal is still that of the connections which are open.
const shown = 4

// Vouched is a certificate that an authority vouches for, which may be renewed
// while the server runs.
type Vouched struct {
	get    func(*tls.ClientHelloInfo) (*tls.Certificate, error)
	protos []string

	mu   sync.Mutex
	last []string // audiences of those shown lately, the latest at the end
}

// FromFiles is a certificate, with those of the authorities in between, and
// its key, as PEM files. Files that were renewed are read anew. The key must
// not be readable by others: keyfile.ErrExposed.
func FromFiles(certFile, keyFile string) (*Vouched, error) {
	f := &files{cert: certFile, key: keyFile}
	c, err := f.certificate(nil)
	if err != nil {
		return nil, err
	}
	v := &Vouched{get: f.certificate}
	v.remember(c)
	return v, nil
}

// ACME is how an authority is asked to vouch for a host.
type ACME struct {
	Host      string
	Folder    string         // where what it takes is kept
	Directory string         // the authority's address; empty is Let's Encrypt's
	Accepted  bool           // whether the authority's terms are
	Roots     *x509.CertPool // that vouch for the authority's address; nil is the machine's
}

// FromACME has an authority vouch for a host by RFC 8555, and renews in time.
// The authority calls back on port 443 of the host (RFC 8737), which must lead
// to this server.
func FromACME(a ACME) (*Vouched, error) {
	if !a.Accepted {
		return nil, ErrTerms
	}
	m := &autocert.Manager{
		Prompt: autocert.AcceptTOS, HostPolicy: autocert.HostWhitelist(a.Host), Cache: autocert.DirCache(a.Folder),
	}
	if a.Directory != "" || a.Roots != nil {
		way := http.DefaultTransport.(*http.Transport).Clone()
		way.TLSClientConfig = &tls.Config{RootCAs: a.Roots, MinVersion: tls.VersionTLS12}
		m.Client = &acme.Client{DirectoryURL: a.Directory, HTTPClient: &http.Client{Transport: way}}
	}
	return &Vouched{get: m.GetCertificate, protos: []string{acme.ALPNProto}}, nil
}

// TLS is how a server shows the certificate: by TLS 1.3 alone.
func (v *Vouched) TLS() *tls.Config {
	return &tls.Config{
		MinVersion: tls.VersionTLS13, NextProtos: append([]string{"h2"}, v.protos...),
		GetCertificate: func(hello *tls.ClientHelloInfo) (*tls.Certificate, error) {
			c, err := v.get(hello)
			if err == nil && !slices.Equal(hello.SupportedProtos, []string{acme.ALPNProto}) {
				v.remember(c)
			}
			return c, err
		},
	}
}

// Audiences is what tokens may name the server by.
func (v *Vouched) Audiences() []string {
	v.mu.Lock()
	defer v.mu.Unlock()
	return slices.Clone(v.last)
}

func (v *Vouched) remember(c *tls.Certificate) {
	a := cert.PinOf(c.Certificate[0]).Audience()
	v.mu.Lock()
	defer v.mu.Unlock()
	if n := len(v.last); n > 0 && v.last[n-1] == a {
		return
	}
	v.last = append(slices.DeleteFunc(v.last, func(b string) bool { return a == b }), a)
	if n := len(v.last); n > shown {
		v.last = slices.Clone(v.last[n-shown:])
	}
}

// files is a certificate in files, read anew when they change.
type files struct {
	cert, key string

	mu   sync.Mutex
	read [2]time.Time // when the files had been changed that were read last
	pair *tls.Certificate
}

// certificate is that of the files as they are. Where a renewal is half done,
// or the files are gone, it is the one before.
func (f *files) certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	now, err := f.changed()
	if err == nil && now == f.read {
		return f.pair, nil
	}
	var pair *tls.Certificate
	if err == nil {
		pair, err = f.load()
	}
	switch {
	case err == nil:
		f.pair, f.read = pair, now
	case f.pair == nil:
		return nil, err
	}
	return f.pair, nil
}

func (f *files) changed() (at [2]time.Time, err error) {
	for i, name := range []string{f.cert, f.key} {
		info, err := os.Stat(name)
		if err != nil {
			return at, err
		}
		at[i] = info.ModTime()
	}
	return at, nil
}

func (f *files) load() (*tls.Certificate, error) {
	chain, err := os.ReadFile(f.cert)
	if err != nil {
		return nil, err
	}
	key, err := keyfile.Read(f.key)
	if err != nil {
		return nil, err
	}
	pair, err := tls.X509KeyPair(chain, key)
	if err != nil {
		return nil, fmt.Errorf("%s and %s: %w: %w", f.cert, f.key, ErrIdentity, err)
	}
	return &pair, nil
}
