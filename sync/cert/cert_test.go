package cert_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"strings"
	"testing"
	"time"

	"turnrow/sync/cert"
)

func TestMakeIsGoodForTLS13Only(t *testing.T) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	now := time.Now()
	c, err := cert.Make(key, "turnrow", now)
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Leaf.CheckSignature(c.Leaf.SignatureAlgorithm, c.Leaf.RawTBSCertificate, c.Leaf.Signature); err != nil {
		t.Errorf("not signed by its own key: %v", err)
	}
	if c.Leaf.NotBefore.After(now.Add(-47*time.Hour)) || c.Leaf.NotAfter.Before(now.AddDate(9, 11, 0)) {
		t.Errorf("counts from %v to %v", c.Leaf.NotBefore, c.Leaf.NotAfter)
	}
	for _, v := range []struct {
		max uint16
		ok  bool
	}{{tls.VersionTLS12, false}, {tls.VersionTLS13, true}} {
		a, b := net.Pipe()
		server := tls.Server(a, cert.TLS(c))
		go func() { _ = server.Handshake(); _ = a.Close() }()
		client := tls.Client(b, &tls.Config{InsecureSkipVerify: true, MaxVersion: v.max}) // only the version is under test
		if err := client.Handshake(); (err == nil) != v.ok {
			t.Errorf("TLS version %x: %v", v.max, err)
		}
		b.Close()
	}
}

func TestPin(t *testing.T) {
	p := cert.PinOf([]byte("certificate"))
	if p != cert.Pin(sha256.Sum256([]byte("certificate"))) || p.IsZero() {
		t.Fatalf("pin %x", p)
	}
	pairs := strings.Split(fmt.Sprintf("% X", p[:]), " ")
	for _, s := range []string{p.String(), p.Audience(), strings.Join(pairs, ":")} {
		if got, err := cert.ParsePin(s); err != nil || got != p {
			t.Errorf("%s: %x, %v", s, got, err)
		}
	}
	for _, s := range []string{"", "pin", p.String()[1:], p.Audience() + "00", p.String() + "="} {
		if _, err := cert.ParsePin(s); !errors.Is(err, cert.ErrPin) {
			t.Errorf("%q: %v", s, err)
		}
	}
}
