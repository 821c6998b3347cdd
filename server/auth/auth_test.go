package auth_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"turnrow/server/auth"
	"turnrow/sync/exchange"
)

var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

func made(t testing.TB) (auth.Identity, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "server.pem")
	id, err := auth.LoadOrMake(path, noon)
	if err != nil {
		t.Fatal(err)
	}
	return id, path
}

func TestIdentityStays(t *testing.T) {
	id, path := made(t)
	again, err := auth.LoadOrMake(path, noon.AddDate(1, 0, 0))
	if err != nil || again.Pin() != id.Pin() {
		t.Fatalf("pin %s became %s (%v)", id.Pin(), again.Pin(), err)
	}
	other, _ := made(t)
	if other.Pin() == id.Pin() {
		t.Error("two servers have one pin")
	}
}

func TestTornIdentityIsRefusedAndKept(t *testing.T) {
	_, path := made(t)
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	torn := b[:len(b)/2]
	if err := os.WriteFile(path, torn, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := auth.LoadOrMake(path, noon); !errors.Is(err, auth.ErrIdentity) {
		t.Errorf("torn file: %v", err)
	}
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, torn) {
		t.Errorf("torn file was changed (%v)", err)
	}
}

func TestFoundingCode(t *testing.T) {
	id, path := made(t)
	code, err := id.FoundingCode(noon)
	if err != nil {
		t.Fatal(err)
	}
	name, err := id.CheckCode(code, noon.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	again, err := auth.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := again.CheckCode(code, noon); err != nil || got != name {
		t.Errorf("after a restart: %s, %v; was %s", got, err, name)
	}
	other, _ := made(t)
	elsewhere, err := other.FoundingCode(noon)
	if err != nil {
		t.Fatal(err)
	}
	changed := []byte(code)
	changed[3] ^= 1
	for what, c := range map[string]string{
		"another server's": elsewhere, "changed": string(changed), "cut": code[:20], "empty": "", "not base64": "?" + code[1:],
	} {
		if _, err := id.CheckCode(c, noon); !errors.Is(err, exchange.ErrFounding) {
			t.Errorf("%s: %v", what, err)
		}
	}
	late := noon.Add((exchange.FoundingHours + 1) * time.Hour)
	if _, err := id.CheckCode(code, late); !errors.Is(err, exchange.ErrFounding) {
		t.Errorf("out of date: %v", err)
	}
}
