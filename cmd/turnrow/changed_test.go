package main

import (
	"crypto/ed25519"
	"crypto/x509"
	"encoding/pem"
	"os"
	"path/filepath"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/replica"
)

// changedClient writes into a home's record as a client does that was changed:
// with the device's own key, and without looking at what it writes.
func changedClient(t *testing.T, home string, bodies ...entry.Body) {
	t.Helper()
	device, key := keyIn(t, home)
	h, err := client.Open(home, client.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f, err := h.Farm()
	if err != nil {
		t.Fatal(err)
	}
	id := f.ID()
	if err := h.Close(); err != nil {
		t.Fatal(err)
	}
	store, err := logstore.Open(filepath.Join(home, "store"), logstore.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := store.Close(); err != nil {
			t.Error(err)
		}
	}()
	log, err := store.Farm(id)
	if err != nil {
		t.Fatal(err)
	}
	r, err := replica.Open(id, store.Generation(), log)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range bodies {
		if _, err := r.Record(key, device, time.Now().UnixMilli(), entry.Draft{Body: b}); err != nil {
			t.Fatal(err)
		}
	}
}

// keyIn is the device of a home, and its key.
func keyIn(t *testing.T, home string) (entry.DeviceID, ed25519.PrivateKey) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(home, "device.pem"))
	if err != nil {
		t.Fatal(err)
	}
	block, _ := pem.Decode(text)
	device, err := entry.ParseDevice(block.Headers["Device"])
	if err != nil {
		t.Fatal(err)
	}
	key, err := x509.ParsePKCS8PrivateKey(block.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	return device, key.(ed25519.PrivateKey)
}
