package server_test

import (
	"bufio"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"turnrow/server"
)

// acmeHost is the name that the test's authority vouches for.
const acmeHost = "farm.example"

// runs starts a program until the test ends. What it prints is read, so that it
// does not wait.
func runs(t *testing.T, env []string, name string, args ...string) {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is missing (go install github.com/letsencrypt/pebble/v2/cmd/%s brings it)", name, name)
	}
	cmd := exec.Command(path, args...)
	cmd.Env = append(os.Environ(), env...)
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stdout, cmd.Stderr = w, w
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	w.Close()
	read := make(chan struct{})
	go func() {
		defer close(read)
		for lines := bufio.NewScanner(r); lines.Scan(); {
			t.Log(name, lines.Text())
		}
	}()
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait() // killed
		<-read
		r.Close()
	})
}

// freePort is an address on loopback where nobody listens.
func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

func portOf(t *testing.T, addr string) int {
	t.Helper()
	_, port, err := net.SplitHostPort(addr)
	n, err2 := strconv.Atoi(port)
	if err != nil || err2 != nil {
		t.Fatal(addr, err, err2)
	}
	return n
}

// eventually tries again until it works, or the test has waited long enough.
func eventually(t *testing.T, ctx context.Context, try func() error) {
	t.Helper()
	for {
		err := try()
		if err == nil {
			return
		}
		if ctx.Err() != nil {
			t.Fatal(err)
		}
	}
}

// acmeAuthority is an authority in a process of its own, which vouches for who answers
// on the port given (RFC 8555, RFC 8737): Let's Encrypt's own test server, with
// a name server for it.
type acmeAuthority struct {
	directory string
	trust     *x509.CertPool // vouches for the directory's address
	roots     string         // where its root certificate is to be had
}

func startACME(t *testing.T, tlsPort int) acmeAuthority {
	ca, dir := newAuthority(t), t.TempDir()
	cert, key := ca.vouches(2, "localhost")
	certFile, keyFile := filepath.Join(dir, "acme.pem"), filepath.Join(dir, "acme.key")
	written(t, certFile, cert, time.Now())
	written(t, keyFile, key, time.Now())
	api, manage, names := freePort(t), freePort(t), freePort(t)
	config, err := json.Marshal(map[string]any{"pebble": map[string]any{
		"listenAddress": api, "managementListenAddress": manage, "certificate": certFile, "privateKey": keyFile, "tlsPort": tlsPort,
	}})
	if err != nil {
		t.Fatal(err)
	}
	configFile := filepath.Join(dir, "config.json")
	written(t, configFile, config, time.Now())
	runs(t, nil, "pebble-challtestsrv", "-defaultIPv6", "", "-dnsserver", names, "-doh", "", "-http01", "", "-https01", "", "-tlsalpn01", "", "-management", freePort(t))
	runs(t, []string{"PEBBLE_VA_NOSLEEP=1"}, "pebble", "-config", configFile, "-dnsserver", names)
	ctx := within(t)
	dns := net.Resolver{PreferGo: true, Dial: func(ctx context.Context, _, _ string) (net.Conn, error) {
		return (&net.Dialer{}).DialContext(ctx, "tcp", names)
	}}
	eventually(t, ctx, func() error { _, err := dns.LookupHost(ctx, acmeHost+"."); return err })
	for _, addr := range []string{api, manage} {
		eventually(t, ctx, func() error {
			c, err := net.Dial("tcp", addr)
			if err == nil {
				c.Close()
			}
			return err
		})
	}
	return acmeAuthority{"https://" + api + "/dir", ca.roots, "https://" + manage + "/roots/0"}
}

// root is the certificate that the authority's own hang on.
func (a acmeAuthority) root(t *testing.T) *x509.CertPool {
	t.Helper()
	web := http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: a.trust}, DisableKeepAlives: true}}
	resp, err := web.Get(a.roots)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	pem, err := io.ReadAll(resp.Body)
	pool := x509.NewCertPool()
	if err != nil || !pool.AppendCertsFromPEM(pem) {
		t.Fatalf("%s: %v", pem, err)
	}
	return pool
}

// A server asks an authority for its certificate when the first device comes,
// answers the authority's challenge itself, and shows the same one after a
// restart.
func TestCertificateFromAnAuthorityByACME(t *testing.T) {
	listen, data := freePort(t), t.TempDir()
	a := startACME(t, portOf(t, listen))
	config := server.Config{
		Data: data, Listen: listen, ACME: acmeHost, ACMEDirectory: a.directory, ACMEAccepted: true, Roots: a.trust,
	}
	shown := func() *x509.Certificate {
		t.Helper()
		var d tls.Dialer
		d.Config = &tls.Config{RootCAs: a.root(t), ServerName: acmeHost, NextProtos: []string{"h2"}}
		c, err := d.DialContext(within(t), "tcp", listen)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		return c.(*tls.Conn).ConnectionState().PeerCertificates[0]
	}
	srv, stop := started(t, config)
	if srv.Pin() != "" {
		t.Errorf("a pin, %s, beside a certificate that an authority vouches for", srv.Pin())
	}
	first := shown()
	stop()
	started(t, config)
	if again := shown(); !again.Equal(first) {
		t.Error("another certificate after a restart: the authority was asked again")
	}
}
