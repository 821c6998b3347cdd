package client_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// smallDisk is a file system of its own with little room, and a way to fill it
// and to make room again.
func smallDisk(t *testing.T) (dir string, fill, clear func()) {
	t.Helper()
	dir = t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64m"); err != nil {
		t.Skipf("does not apply: this user may not mount a file system (%v)", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	ballast := filepath.Join(dir, "ballast")
	fill = func() {
		f, err := os.Create(ballast)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		for block := make([]byte, 1<<20); err == nil; {
			_, err = f.Write(block)
		}
		if !errors.Is(err, syscall.ENOSPC) {
			t.Fatal(err)
		}
	}
	clear = func() {
		if err := os.Remove(ballast); err != nil {
			t.Fatal(err)
		}
	}
	return dir, fill, clear
}

// A device whose disk is full says so, shows what it has, and writes on once
// there is room.
func TestFullDiskOfADevice(t *testing.T) {
	disk, fill, clear := smallDisk(t)
	c := open(t, filepath.Join(disk, "home"))
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	note := func(text string) error {
		_, err := c.Record(within(t), entry.ID{}, &entry.Noted{Text: text})
		return err
	}
	if err := note("before"); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		fill()
		for range 3 {
			if err := note("no room"); !errors.Is(err, exchange.ErrStorage) {
				t.Errorf("on a full disk: %v", err)
			}
		}
		if n, v := c.Digest().Entries, c.View(); n != uint64(len(c.Lines())) || v.Name != "Upper Lea" {
			t.Errorf("to read: %d entries, farm %q", n, v.Name)
		}
		clear()
		if err := note("room again"); err != nil {
			t.Errorf("with room again: %v", err)
		}
	}
	if r, err := c.Verify(nil); err != nil || len(r.Faults) > 0 || r.Entries != 4 {
		t.Errorf("%+v, %v", r, err)
	}
}

// A server whose disk is full says so to the devices, which keep what they
// wrote and bring it once there is room; reading goes on meanwhile.
func TestFullDiskOfAServer(t *testing.T) {
	disk, fill, clear := smallDisk(t)
	h := &house{T: t, Data: filepath.Join(disk, "data"), Listen: "127.0.0.1:0"}
	h.Start()
	t.Cleanup(func() { h.Stop() })
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator)
	fill()
	if _, err := ada.Record(within(t), entry.ID{}, &entry.Noted{Text: "gate open"}); err != nil {
		t.Fatal(err)
	}
	var f *exchange.Failure
	if _, err := ada.Sync(within(t)); !errors.Is(err, exchange.ErrStorage) || !errors.As(err, &f) || f.Retry == 0 {
		t.Errorf("while the server's disk is full: %v", err)
	}
	if ada.Pending() == 0 {
		t.Error("the note counts as brought")
	}
	if _, err := ben.Sync(within(t)); err != nil {
		t.Errorf("a device with nothing to bring: %v", err)
	}
	clear()
	sync(t, ada)
	sync(t, ben)
	if ada.Pending() != 0 || ada.Digest().Sum != ben.Digest().Sum {
		t.Errorf("%d pending; the two hold %v and %v", ada.Pending(), ada.Digest(), ben.Digest())
	}
}

// A home on a disk that is read-only opens for reading, and says why it does
// not write.
func TestReadOnlyDisk(t *testing.T) {
	disk, _, _ := smallDisk(t)
	home := filepath.Join(disk, "home")
	c := open(t, home)
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	note(t, c, "before")
	was := c.Digest()
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	remount := func(flags uintptr) {
		if err := syscall.Mount("", disk, "", syscall.MS_REMOUNT|flags, ""); err != nil {
			t.Fatal(err)
		}
	}
	remount(syscall.MS_RDONLY)
	c = deviceAt(t, home, client.Options{})
	if got := c.Digest(); got.Sum != was.Sum {
		t.Errorf("%d entries to read of %d", got.Entries, was.Entries)
	}
	_, err := c.Record(within(t), entry.ID{}, &entry.Noted{Text: "x"})
	if !errors.Is(err, exchange.ErrStorage) || !strings.Contains(err.Error(), "read-only") {
		t.Errorf("writing: %v", err)
	}
	if err := c.Close(); err != nil {
		t.Error(err)
	}
	remount(0)
	note(t, open(t, home), "writes again")
}
