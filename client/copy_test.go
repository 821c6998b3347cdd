package client_test

import (
	"bytes"
	"errors"
	"maps"
	"path/filepath"
	"testing"

	"turnrow/client"
	"turnrow/client/syncer"
	"turnrow/sync/entry"
)

// A home that was copied to a second machine writes under one name on both.
// The exchange notices it, the copy writes no more, and a new invite gives it
// an identity of its own; nothing that either wrote is lost.
func TestCopiedHome(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	home, copied := t.TempDir(), filepath.Join(t.TempDir(), "copy")
	ben := open(t, home)
	if _, err := ben.Join(within(t), inviteAndSync(t, ada, "Ben"), "phone"); err != nil {
		t.Fatal(err)
	}
	if err := ben.Close(); err != nil {
		t.Fatal(err)
	}
	copyDir(t, home, copied)
	ben, twin := open(t, home), open(t, copied)
	note(t, ben, "on the phone")
	sync(t, ben)
	note(t, twin, "on its twin")
	if _, err := twin.Sync(within(t)); !errors.Is(err, syncer.ErrCopied) {
		t.Fatalf("the twin's exchange: %v", err)
	}
	if _, err := twin.Record(within(t), entry.ID{}, &entry.Noted{Text: "more"}); !errors.Is(err, syncer.ErrCopied) {
		t.Errorf("the twin goes on writing: %v", err)
	}
	if _, err := twin.Join(within(t), inviteAndSync(t, ada, "Ben"), "twin"); err != nil {
		t.Fatalf("the twin's new identity: %v", err)
	}
	note(t, twin, "as itself")
	if twin.Device() == ben.Device() {
		t.Error("the twin kept its old name")
	}
	sync(t, twin)
	sync(t, ada)
	if got := notes(t, ada); got["as itself"] != 1 || got["on the phone"] != 1 {
		t.Errorf("Ada holds %v", got)
	}
	if got := notes(t, twin); got["on its twin"] != 1 {
		t.Errorf("the twin lost what it wrote: %v", got)
	}
}

// Once the copy's entries are here, the device that was copied writes no more
// under the name that it shares either: it says so, and an invite gives it a new
// one.
func TestCopiedDeviceJoinsAnew(t *testing.T) {
	ada := found(t, "")
	home, copied := t.TempDir(), filepath.Join(t.TempDir(), "copy")
	ben := open(t, home)
	if _, err := ben.Join(within(t), invited(t, ada, "Ben", entry.Operator), "phone"); err != nil {
		t.Fatal(err)
	}
	if err := ben.Close(); err != nil {
		t.Fatal(err)
	}
	copyDir(t, home, copied)
	ben, twin := open(t, home), open(t, copied)
	note(t, ben, "on the phone")
	note(t, twin, "on its twin")
	if _, err := ben.CarryIn(reader(carryOut(t, twin))); err != nil {
		t.Fatal(err)
	}
	if _, err := ben.Record(within(t), entry.ID{}, &entry.Noted{Text: "more"}); !errors.Is(err, syncer.ErrCopied) || !ben.Copied() {
		t.Errorf("it goes on writing: %v, says that it was copied: %v", err, ben.Copied())
	}
	if _, err := ben.Join(within(t), invited(t, ada, "Ben", entry.Operator), "phone, anew"); err != nil {
		t.Fatalf("the phone's new identity: %v", err)
	}
	note(t, ben, "as itself")
	var file bytes.Buffer
	if _, err := ben.CarryOut(&file); err != nil {
		t.Fatal(err)
	}
	if _, err := ada.CarryIn(&file); err != nil {
		t.Fatal(err)
	}
	if got := notes(t, ada); ben.Copied() || got["as itself"] != 1 || got["on the phone"] != 1 {
		t.Errorf("Ada holds %v", got)
	}
}

func TestCarry(t *testing.T) {
	ada := found(t, "")
	ben := joinAway(t, invited(t, ada, "Ben", entry.Operator))
	note(t, ada, "one")
	note(t, ben, "two")
	file := carryOut(t, ada)
	if got, err := ben.CarryIn(reader(file)); err != nil || got.Entries != 4 || len(got.Refused) != 0 {
		t.Errorf("carried in: %+v, %v", got, err)
	}
	if got, err := ben.CarryIn(reader(file)); err != nil || got.Entries != 0 {
		t.Errorf("carried in again: %+v, %v", got, err)
	}
	if got, err := ada.CarryIn(reader(carryOut(t, ben))); err != nil || got.Entries != 2 {
		t.Errorf("carried back: %+v, %v", got, err)
	}
	if got, err := ben.CarryIn(reader(carryOut(t, ada))); err != nil || got.Entries != 1 {
		t.Errorf("that Ada let him in: %+v, %v", got, err)
	}
	sameEverywhere(t, ada, ben)
	if got, want := notes(t, ada), map[string]int{"one": 1, "two": 1}; !maps.Equal(got, want) {
		t.Errorf("Ada holds %v", got)
	}
	if _, err := found(t, "").CarryIn(reader(file)); !errors.Is(err, client.ErrOtherFarm) {
		t.Errorf("another farm: %v", err)
	}
}

func TestBackupAndRestore(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator)
	note(t, ben, "kept")
	sync(t, ben)
	file := filepath.Join(t.TempDir(), "backup.tgz")
	n, err := ben.Backup(file)
	if err != nil || n != ben.Digest().Entries {
		t.Fatalf("backup: %d entries, %v", n, err)
	}
	if _, err := ben.Backup(file); err == nil {
		t.Error("a backup was written over")
	}
	home := filepath.Join(t.TempDir(), "new")
	if m, err := client.Restore(file, home); err != nil || m != n {
		t.Fatalf("restored %d entries, not %d: %v", m, n, err)
	}
	again := open(t, home)
	sameEverywhere(t, ben, again)
	if _, err := again.Record(within(t), entry.ID{}, &entry.Noted{Text: "x"}); !errors.Is(err, client.ErrNoIdentity) {
		t.Errorf("restored, without an identity: %v", err)
	}
	if _, err := again.Join(within(t), inviteAndSync(t, ada, "Ben"), "new phone"); err != nil {
		t.Fatal(err)
	}
	note(t, again, "as itself")
	sync(t, again)
	sync(t, ben)
	sameEverywhere(t, ben, again)
	if _, err := client.Restore(file, home); !errors.Is(err, client.ErrHasFarm) {
		t.Errorf("restored over a home: %v", err)
	}
}
