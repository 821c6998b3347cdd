package server_test

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/status"

	"turnrow/client"
	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/server"
	"turnrow/server/auth"
	"turnrow/sync/cert"
	"turnrow/sync/logstore/keyfile"
)

// authority vouches for servers.
type authority struct {
	t     *testing.T
	cert  *x509.Certificate
	key   *ecdsa.PrivateKey
	roots *x509.CertPool
}

func newAuthority(t *testing.T) *authority {
	a := &authority{t: t, key: newKey(t), roots: x509.NewCertPool()}
	a.cert = a.sign(&x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "Upper Lea's authority"}, IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageCertSign, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
	}, nil, &a.key.PublicKey)
	a.roots.AddCert(a.cert)
	return a
}

func newKey(t *testing.T) *ecdsa.PrivateKey {
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func (a *authority) sign(c, parent *x509.Certificate, pub *ecdsa.PublicKey) *x509.Certificate {
	if parent == nil {
		parent = c
	}
	der, err := x509.CreateCertificate(rand.Reader, c, parent, pub, a.key)
	if err != nil {
		a.t.Fatal(err)
	}
	signed, err := x509.ParseCertificate(der)
	if err != nil {
		a.t.Fatal(err)
	}
	return signed
}

// vouches gives a key and a certificate on it, as PEM.
func (a *authority) vouches(serial int64, host string) (certPEM, keyPEM []byte) {
	key := newKey(a.t)
	c := a.sign(&x509.Certificate{
		SerialNumber: big.NewInt(serial), DNSNames: []string{host}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
	}, a.cert, &key.PublicKey)
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		a.t.Fatal(err)
	}
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: c.Raw}), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: der})
}

func written(t *testing.T, path string, b []byte, at time.Time) {
	t.Helper()
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(path, at, at); err != nil {
		t.Fatal(err)
	}
}

// run serves until the test ends.
func run(t *testing.T, c server.Config) *server.Server {
	t.Helper()
	srv, _ := started(t, c)
	return srv
}

// A server with a certificate that an authority vouches for gives addresses
// without a pin, and devices check it as browsers do; a renewal cuts nobody
// off.
func TestCertificateFromFiles(t *testing.T) {
	a, dir := newAuthority(t), t.TempDir()
	certFile, keyFile := filepath.Join(dir, "farm.pem"), filepath.Join(dir, "farm.key")
	renew := func(serial int64, at time.Time) {
		c, k := a.vouches(serial, "farm.example")
		written(t, certFile, c, at)
		written(t, keyFile, k, at)
	}
	renew(2, time.Now().Add(-time.Hour))
	data := filepath.Join(dir, "data")
	srv := run(t, server.Config{Data: data, Listen: "127.0.0.1:0", Cert: certFile, Key: keyFile})
	at, err := srv.FoundingAddress()
	again, err2 := server.InviteFarm(data)
	if err := errors.Join(err, err2); err != nil || srv.Pin() != "" || strings.Contains(at+again, "pin=") {
		t.Fatalf("pin %q, addresses %s and %s (%v)", srv.Pin(), at, again, err)
	}
	founds := func(o client.Options) (*client.Farm, error) {
		c, err := client.Open(t.TempDir(), o)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		f, err := c.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: at})
		return f.Farm, errors.Join(err, f.Away)
	}
	if _, err := founds(client.Options{}); !errors.Is(err, client.ErrUnvouched) {
		t.Errorf("a device that does not know the authority: %v", err)
	}
	c, err := founds(client.Options{Roots: a.roots})
	if err != nil {
		t.Fatal(err)
	}
	renew(3, time.Now())
	for range 2 { // on the connection from before, then on a new one
		if _, err := c.Sync(within(t)); err != nil {
			t.Errorf("after a renewal: %v", err)
		}
		if _, err := c.At(within(t), "turnrow://"+srv.Addr()+"/", client.AtOptions{}); err != nil {
			t.Errorf("anew after a renewal: %v", err)
		}
	}
}

// What is amiss with the files is told before anything is served.
func TestCertificateFilesThatAreNone(t *testing.T) {
	a, dir := newAuthority(t), t.TempDir()
	c, k := a.vouches(2, "farm.example")
	_, other := a.vouches(3, "farm.example")
	path := func(name string, b []byte, mode os.FileMode) string {
		written(t, filepath.Join(dir, name), b, time.Now())
		if err := os.Chmod(filepath.Join(dir, name), mode); err != nil {
			t.Fatal(err)
		}
		return filepath.Join(dir, name)
	}
	good, key := path("cert", c, 0o644), path("key", k, 0o600)
	for name, want := range map[string]struct {
		cert, key, acme string
		err             error
	}{
		"no certificate":         {dir + "/none", key, "", os.ErrNotExist},
		"no key":                 {good, "", "", os.ErrNotExist},
		"key that others read":   {good, path("open", k, 0o644), "", keyfile.ErrExposed},
		"another's key":          {good, path("other", other, 0o600), "", auth.ErrIdentity},
		"words":                  {path("words", []byte("words"), 0o600), key, "", auth.ErrIdentity},
		"terms not accepted":     {"", "", "farm.example", auth.ErrTerms},
		"both files and by ACME": {good, key, "farm.example", nil},
	} {
		srv, err := server.New(server.Config{Data: t.TempDir(), Listen: "127.0.0.1:0", Cert: want.cert, Key: want.key, ACME: want.acme})
		if err == nil {
			srv.Close()
		}
		if err == nil || want.err != nil && !errors.Is(err, want.err) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A certificate that was had by ACME is kept and shown; the authority itself is
// not asked here. Other names than the one asked for are turned away.
func TestCertificateByACME(t *testing.T) {
	a, data := newAuthority(t), t.TempDir()
	c, k := a.vouches(2, "farm.example")
	if err := os.Mkdir(filepath.Join(data, "acme"), 0o700); err != nil {
		t.Fatal(err)
	}
	ec := bytes.ReplaceAll(k, []byte("PRIVATE KEY"), []byte("EC PRIVATE KEY"))
	written(t, filepath.Join(data, "acme", "farm.example"), append(ec, c...), time.Now())
	srv := run(t, server.Config{Data: data, Listen: "127.0.0.1:0", ACME: "farm.example", ACMEAccepted: true, ACMEDirectory: "https://127.0.0.1:1/"})
	if host, _, _ := net.SplitHostPort(srv.Addr()); host != "farm.example" || srv.Pin() != "" {
		t.Errorf("it serves at %s, pin %q", srv.Addr(), srv.Pin())
	}
	_, port, _ := net.SplitHostPort(srv.Addr())
	dial := "passthrough:///127.0.0.1:" + port
	tc := &tls.Config{RootCAs: a.roots, ServerName: "farm.example"}
	cc, err := grpc.NewClient(dial, grpc.WithTransportCredentials(credentials.NewTLS(tc)))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cc.Close() })
	_, err = servicev1.NewExchangeServiceClient(cc).Exchange(within(t), &turnrowv1.ExchangeRequest{Farm: make([]byte, 16)})
	if status.Code(err) != codes.Unauthenticated || reason(err) != "TOKEN" {
		t.Errorf("without a token: %v", err)
	}
	block, _ := pem.Decode(c)
	ada := openPhone(t, func(c *client.Home) error {
		_, err := c.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"})
		return err
	})
	farm := ada.ID()
	ctx := with(within(t), ada.token(t, farm, cert.PinOf(block.Bytes).Audience(), time.Now()))
	if _, err = servicev1.NewExchangeServiceClient(cc).Exchange(ctx, &turnrowv1.ExchangeRequest{Farm: farm[:]}); reason(err) != "FARM" {
		t.Errorf("with a token for this certificate: %v", err)
	}
	for _, name := range []string{"elsewhere.example", ""} {
		conn, err := tls.Dial("tcp", "127.0.0.1:"+port, &tls.Config{InsecureSkipVerify: true, ServerName: name}) // to the test's own server
		if err == nil {
			conn.Close()
			t.Errorf("a certificate was shown for %q", name)
		}
	}
}
