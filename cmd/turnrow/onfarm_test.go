package main

import (
	"path/filepath"
	"slices"
	"testing"

	"turnrow/client"
	"turnrow/sync/entry"
)

// What goes on for long, such as a page or a watch, goes on with the identity
// that a joining through its door puts in the home.
func TestLongWorkGoesOnAsTheNewIdentity(t *testing.T) {
	ada := holder(t, t.TempDir())
	backup, dir := filepath.Join(t.TempDir(), "backup"), t.TempDir()
	if _, err := ada.Backup(backup); err != nil {
		t.Fatal(err)
	}
	if _, err := client.Restore(backup, dir); err != nil {
		t.Fatal(err)
	}
	invite, err := ada.Invite(t.Context(), "Ben", entry.Helper)
	if err != nil {
		t.Fatal(err)
	}
	h, err := client.Open(dir, client.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer h.Close()
	var as []entry.DeviceID
	err = (&call{home: h}).onFarm(func(f *client.Farm) error {
		if as = append(as, f.Device()); len(as) > 1 {
			return nil
		}
		if _, err := h.Join(t.Context(), invite, "phone"); err != nil {
			return err
		}
		<-f.Done()
		return client.ErrClosed
	})
	f, _ := h.Farm()
	if want := []entry.DeviceID{{}, f.Device()}; err != nil || !slices.Equal(as, want) {
		t.Errorf("went on as %v, want %v: %v", as, want, err)
	}
}
