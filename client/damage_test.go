package client_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/sync/entry"
)

// killed is a home as it is while its client runs, with one bit of its store's
// latest log flipped, at a share of its length.
func killed(t *testing.T, home string, share float64) string {
	t.Helper()
	hurt := filepath.Join(t.TempDir(), "killed")
	copyDir(t, home, hurt)
	logs, err := filepath.Glob(hurt + "/store/*.log")
	if err != nil || len(logs) == 0 {
		t.Fatal(logs, err)
	}
	name := slices.Max(logs)
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	end := len(strings.TrimRight(string(data), "\x00"))
	// Two bits, 200 bytes apart: one alone is found by its checksum, and mended.
	at := int(share * float64(end))
	data[at] ^= 4
	data[at+200] ^= 4
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return hurt
}

// A device whose disk lost what others have says so, writes nothing under
// numbers that are in use, has everything back after an exchange, and goes on.
func TestDamagedHomeComesBack(t *testing.T) {
	for _, share := range []float64{0.02, 0.3, 0.6, 0.9} {
		h := newHouse(t)
		ada := found(t, h.FoundingAddress())
		home := t.TempDir()
		ben := open(t, home)
		if _, err := ben.Join(within(t), inviteAndSync(t, ada, "Ben"), "phone"); err != nil {
			t.Fatal(err)
		}
		for n := range 40 {
			note(t, ben, fmt.Sprintf("note %d", n))
		}
		sync(t, ben)
		was := ben.Digest()
		again := open(t, killed(t, home, share))
		told := strings.Join(again.Damaged(), "\n")
		if !strings.Contains(told, "was damaged on disk") {
			t.Errorf("%v: told: %q", share, told)
		}
		if _, err := again.Record(within(t), entry.ID{}, &entry.Noted{Text: "too early"}); again.Digest().Entries < was.Entries && !errors.Is(err, client.ErrBehind) {
			t.Errorf("%v: with %d of %d entries it writes: %v", share, again.Digest().Entries, was.Entries, err)
		}
		if again.Server() == "" {
			if _, err := again.At(within(t), h.FoundingAddress(), client.AtOptions{}); err != nil {
				t.Fatal(err)
			}
		}
		sync(t, again)
		if again.Device() == ben.Device() && again.Digest().Entries < was.Entries {
			t.Errorf("%v: %d entries are back of %d", share, again.Digest().Entries, was.Entries)
		}
		note(t, again, "goes on")
		sync(t, again)
		sync(t, ada)
		sameEverywhere(t, ada, again)
		if got := again.Damaged(); len(got) > 0 {
			t.Errorf("%v: still told: %q", share, got)
		}
	}
}

// Where nobody else has a log, nobody can have what it lost: the device writes
// on at once.
func TestDamagedHomeAlone(t *testing.T) {
	home := t.TempDir()
	ada := open(t, home)
	if _, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	for n := range 40 {
		note(t, ada, fmt.Sprintf("note %d", n))
	}
	again := open(t, killed(t, home, 0.6))
	held := again.Digest().Entries
	if told := strings.Join(again.Damaged(), "\n"); !strings.Contains(told, fmt.Sprintf("notes %d to %d of this device", held+1, ada.Digest().Entries)) {
		t.Errorf("%d entries, told: %q", held, told)
	}
	if r, err := again.Verify(nil); err != nil || len(r.Missing) != 1 {
		t.Errorf("verify says %+v, %v", r, err)
	}
	note(t, again, "goes on")
}
