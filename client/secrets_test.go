package client_test

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"crypto/x509"
	"encoding/base64"
	"encoding/hex"
	"encoding/pem"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	gosync "sync"
	"testing"

	"turnrow/client"
	"turnrow/server"
	"turnrow/sync/entry"
)

// ledger keeps all that is logged, and every error.
type ledger struct {
	mu  gosync.Mutex
	buf bytes.Buffer
}

func (l *ledger) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.buf.Write(p)
}

func (l *ledger) logger() *slog.Logger {
	return slog.New(slog.NewTextHandler(l, &slog.HandlerOptions{Level: slog.LevelDebug}))
}

func (l *ledger) errs(errs ...error) {
	for _, err := range errs {
		fmt.Fprintf(l, "%v %+v\n", err, err)
	}
}

func (l *ledger) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.buf.String()
}

// secretOf is a part of an address or invite that nobody else may learn.
func secretOf(t *testing.T, text, key string) []byte {
	t.Helper()
	u, err := url.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	b, err := base64.RawURLEncoding.DecodeString(u.Query().Get(key))
	if err != nil || len(b) == 0 {
		t.Fatalf("no %s in %s", key, text)
	}
	return b
}

// keyIn is the private part of a key file.
func keyIn(t *testing.T, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	block, _ := pem.Decode(b)
	if k, err := x509.ParsePKCS8PrivateKey(block.Bytes); err == nil {
		if ed, ok := k.(ed25519.PrivateKey); ok {
			return ed.Seed()
		}
	}
	return block.Bytes[len(block.Bytes)-64:] // of the server's: its end will do
}

// No key, founding code, invite's secret or token is in what server and devices
// log, at the most talkative, nor in any error.
func TestSecretsAreNotLogged(t *testing.T) {
	var l ledger
	data, homes := t.TempDir(), []string{t.TempDir(), t.TempDir(), t.TempDir()}
	srv, err := server.New(server.Config{Data: data, Listen: "127.0.0.1:0", Logger: l.logger()})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- srv.Run(ctx) }()
	at, err := srv.FoundingAddress()
	if err != nil {
		t.Fatal(err)
	}
	opens := func(home string) *device {
		return deviceAt(t, home, client.Options{Logger: l.logger()})
	}
	ada, ben, eve := opens(homes[0]), opens(homes[1]), opens(homes[2])
	f, err := ada.Found(ctx, client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: at})
	l.errs(err, f.Away)
	invite, err := ada.Invite(ctx, "Ben", entry.Operator)
	_, err2 := ada.Sync(ctx)
	j, err3 := ben.Join(ctx, invite, "Ben's phone")
	l.errs(err, err2, err3, j.Away)
	_, err = ben.Record(ctx, entry.ID{}, &entry.Noted{Text: "gate open"})
	_, err2 = ben.Sync(ctx)
	l.errs(err, err2)
	// And what goes wrong: used, cut, altered, with another pin, without a server.
	_, err = eve.Join(ctx, invite, "Eve's phone")
	_, err2 = eve.Join(ctx, invite[:len(invite)-9], "Eve's phone")
	_, err3 = eve.Found(ctx, client.FoundOptions{Farm: "Mine", Owner: "Eve", At: at})
	l.errs(err, err2, err3)
	_, err = client.ParseInvite(invite + "%zz")
	_, err2 = client.ParseAddress(at + "\n%zz")
	_, err3 = eve.At(ctx, strings.Replace(at, "pin=", "pin=A", 1), client.AtOptions{})
	l.errs(err, err2, err3)
	cancel()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	_, err = ben.Sync(within(t))
	l.errs(err)

	said := l.String()
	if !strings.Contains(said, "level=DEBUG") || !strings.Contains(said, "method=") {
		t.Fatalf("nothing was logged at the most talkative:\n%.2000s", said)
	}
	for what, secret := range map[string][]byte{
		"invite's secret": secretOf(t, invite, "secret"), "founding code": secretOf(t, at, "code"),
		"Ada's key": keyIn(t, filepath.Join(homes[0], "device.pem")), "Ben's key": keyIn(t, filepath.Join(homes[1], "device.pem")),
		"server's key": keyIn(t, filepath.Join(data, "server.pem")),
	} {
		for form, text := range map[string]string{
			"raw": string(secret), "hex": hex.EncodeToString(secret), "base64": base64.RawStdEncoding.EncodeToString(secret),
			"base64url": base64.RawURLEncoding.EncodeToString(secret), "numbers": strings.Trim(fmt.Sprint(secret), "[]"),
		} {
			if i := strings.Index(said, text); i >= 0 {
				t.Errorf("%s is told in %s: %.300s", what, form, said[max(i-200, 0):])
			}
		}
	}
	if i := strings.Index(said, "eyJ"); i >= 0 { // how a token begins
		t.Errorf("a token is told: %.300s", said[max(i-200, 0):])
	}
}
