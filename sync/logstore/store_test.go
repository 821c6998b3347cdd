package logstore_test

import (
	"errors"
	"log/slog"
	"os"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"
	"github.com/cockroachdb/pebble/v2/vfs/errorfs"

	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

func TestSecondOpenIsRefused(t *testing.T) {
	dir := t.TempDir() + "/store"
	s := logtest.Must(logstore.Open(dir, logstore.Options{}))(t)
	if _, err := logstore.Open(dir, logstore.Options{}); !errors.Is(err, logstore.ErrLocked) {
		t.Errorf("error %v", err)
	}
	check(t, s.Close())
	check(t, s.Close())
	check(t, logtest.Must(logstore.Open(dir, logstore.Options{}))(t).Close())
}

// A store that is made, or closed and opened again, has nothing to tell.
func TestAWholeStoreIsQuiet(t *testing.T) {
	var said strings.Builder
	o := logstore.Options{FS: vfs.NewMem(), Logger: slog.New(slog.NewTextHandler(&said, &slog.HandlerOptions{Level: slog.LevelWarn}))}
	for range 2 {
		check(t, logtest.Must(logstore.Open("store", o))(t).Close())
	}
	if said.Len() > 0 {
		t.Errorf("it said: %s", said.String())
	}
}

func TestOthersCannotLookIn(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("file modes are Unix's")
	}
	dir := t.TempDir() + "/deep/store"
	check(t, logtest.Must(logstore.Open(dir, logstore.Options{}))(t).Close())
	if mode := logtest.Must(os.Stat(dir))(t).Mode().Perm(); mode != 0o700 {
		t.Errorf("mode %o", mode)
	}
}

func TestAfterClose(t *testing.T) {
	s := logtest.Must(logstore.Open("store", logstore.Options{FS: vfs.NewMem()}))(t)
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	check(t, s.Close())
	d := c.Devices[0]
	_, err1 := l.Record(d.Key, d.ID, logtest.Morning, nil, logtest.Note("x"))
	_, err2 := l.Take(nil)
	err3 := l.Each(nil, func(entry.Entry) error { return nil })
	_, err4 := s.Farm(c.Farm)
	_, err5 := s.Verify(nil)
	for i, err := range []error{err1, err2, err3, err4, err5, s.Reopen(), s.Backup("b")} {
		if !errors.Is(err, logstore.ErrClosed) {
			t.Errorf("%d: error %v", i+1, err)
		}
	}
}

// Reading calls back, and the callback may write, also while the store waits
// to be closed.
func TestWritingFromWithinEach(t *testing.T) {
	s := logtest.Must(logstore.Open("store", logstore.Options{FS: vfs.NewMem()}))(t)
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	c.Write(t, l, 0, logtest.Notes(4)...)
	closing, seen := make(chan error, 1), 0
	check(t, l.Each(nil, func(entry.Entry) error {
		if seen++; seen < 4 {
			c.Write(t, l, 0, logtest.Note("in between"))
			return nil
		}
		if seen == 4 {
			go func() { closing <- s.Close() }()
		}
		return nil
	}))
	if check(t, <-closing); seen != 5 {
		t.Errorf("%d entries seen", seen)
	}
}

// A backup made while others write is whole, opens by itself, has a generation
// of its own and says that it is a copy.
func TestBackupWhileWriting(t *testing.T) {
	dir := t.TempDir()
	s := logtest.Must(logstore.Open(dir+"/store", logstore.Options{}))(t)
	defer s.Close()
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	c.Write(t, l, 0, logtest.Notes(500)...)
	var wg sync.WaitGroup
	stop := make(chan struct{})
	wg.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
				c.Write(t, l, 0, logtest.Notes(20)...)
			}
		}
	})
	before := l.Frontier().Entries()
	check(t, s.Backup(dir+"/copy"))
	if err := s.Backup(dir + "/copy"); !errors.Is(err, logstore.ErrExists) {
		t.Errorf("a second backup to one place gives %v", err)
	}
	close(stop)
	wg.Wait()
	after := l.Frontier().Entries()
	copied := logtest.Must(logstore.Open(dir+"/copy", logstore.Options{}))(t)
	defer copied.Close()
	if n := whole(t, copied).Entries; n < before || n > after {
		t.Errorf("%d entries in the copy, %d before and %d after", n, before, after)
	}
	if copied.Generation() == s.Generation() || !logtest.Must(copied.Copied())(t) || logtest.Must(s.Copied())(t) {
		t.Error("the copy does not say that it is one")
	}
}

// A stick that is full or gone fails the backup, not the store; what is on it
// is no store, or a whole one.
func TestBackupToABadStick(t *testing.T) {
	disk := newBad(vfs.NewMem())
	s := logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
	defer s.Close()
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	for n := 0; ; n++ {
		var left atomic.Int64
		left.Store(int64(n))
		disk.fail(func(op errorfs.Op) bool {
			return writes(op) && strings.HasPrefix(op.Path, "stick") && left.Add(-1) < 0
		})
		err := s.Backup("stick")
		disk.heal()
		c.Write(t, l, 0, logtest.Note("the store goes on"))
		if err == nil {
			t.Logf("%d writes to the stick", n)
			break
		}
		if files, err := disk.List("stick"); err == nil && len(files) > 0 {
			if half, err := logstore.Open("stick", logstore.Options{FS: disk}); err == nil {
				whole(t, half) // only its very last sync failed
				check(t, half.Close())
			} else if !errors.Is(err, logstore.ErrNotStore) {
				t.Fatalf("failed at write %d: opening it gives %v", n, err)
			}
		}
		check(t, disk.RemoveAll("stick"))
	}
	copied := logtest.Must(logstore.Open("stick", logstore.Options{FS: disk}))(t)
	defer copied.Close()
	whole(t, copied)
}

// A backup can be made of a store that cannot be written any more.
func TestBackupOfAFailedStore(t *testing.T) {
	disk := newBad(vfs.NewMem())
	s := logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
	defer s.Close()
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	disk.fail(func(op errorfs.Op) bool { return writes(op) && inLog(op) })
	d := c.Devices[0]
	if _, err := l.Record(d.Key, d.ID, logtest.Morning, nil, logtest.Note("x")); err == nil {
		t.Fatal("no failure")
	}
	disk.heal()
	check(t, s.Backup("stick"))
	copied := logtest.Must(logstore.Open("stick", logstore.Options{FS: disk}))(t)
	defer copied.Close()
	if n := whole(t, copied).Entries; n != 1 {
		t.Errorf("%d entries", n)
	}
}
