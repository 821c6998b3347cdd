package logstore_test

import (
	"errors"
	"fmt"
	"io/fs"
	"reflect"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"
	"github.com/cockroachdb/pebble/v2/vfs/errorfs"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

// bad is a disk that fails when asked to.
type bad struct {
	vfs.FS
	when atomic.Pointer[func(errorfs.Op) bool]
}

func newBad(on vfs.FS) *bad {
	b := &bad{}
	b.FS = errorfs.Wrap(on, errorfs.InjectorFunc(func(op errorfs.Op) error {
		if when := b.when.Load(); when != nil && (*when)(op) {
			return &fs.PathError{Op: "write", Path: op.Path, Err: syscall.EIO}
		}
		return nil
	}))
	return b
}

func (b *bad) fail(when func(errorfs.Op) bool) { b.when.Store(&when) }
func (b *bad) heal()                           { b.when.Store(nil) }

func writes(op errorfs.Op) bool {
	return op.Kind.ReadOrWrite() == errorfs.OpIsWrite && op.Kind != errorfs.OpFileClose
}

func inLog(op errorfs.Op) bool { return strings.HasSuffix(op.Path, ".log") }

// A disk that stops taking writes: the note is refused with a clear error,
// reading goes on, and writing goes on once the disk does.
func TestFailingDisk(t *testing.T) {
	for name, when := range map[string]func(errorfs.Op) bool{
		"no writes":   func(op errorfs.Op) bool { return op.Kind == errorfs.OpFileWrite },
		"no syncs":    func(op errorfs.Op) bool { return op.Kind == errorfs.OpFileSync || op.Kind == errorfs.OpFileSyncData },
		"log only":    func(op errorfs.Op) bool { return inLog(op) && writes(op) },
		"no writing":  writes,
		"no creating": func(op errorfs.Op) bool { return op.Kind == errorfs.OpCreate || op.Kind == errorfs.OpFileSyncData },
	} {
		t.Run(name, func(t *testing.T) {
			disk := newBad(vfs.NewMem())
			s := logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
			c := logtest.NewCrew(1)
			l := logtest.Must(s.Farm(c.Farm))(t)
			c.Join(t, l, 0)
			c.Write(t, l, 0, logtest.Notes(4)...)
			d := c.Devices[0]
			wrote := logtest.All(t, l)

			disk.fail(when)
			for range 3 {
				if _, err := l.Record(d.Key, d.ID, logtest.Morning, nil, logtest.Notes(3)...); !errors.Is(err, logstore.ErrDisk) || !errors.Is(err, exchange.ErrStorage) {
					t.Fatalf("error %v", err)
				}
				if got := logtest.All(t, l); !reflect.DeepEqual(got, wrote) {
					t.Fatalf("%d entries to read, %d were stored", len(got), len(wrote))
				}
			}
			if err := s.Reopen(); err == nil {
				t.Fatal("wrote again on a disk that fails")
			}
			if got := logtest.All(t, l); !reflect.DeepEqual(got, wrote) {
				t.Fatal("reading ended")
			}

			disk.heal()
			if err := s.Reopen(); err != nil {
				t.Fatal(err)
			}
			if n := whole(t, s).Entries; n != 5 {
				t.Fatalf("%d entries, 5 were acknowledged", n)
			}
			if es := c.Write(t, l, 0, logtest.Note("goes on")); es[0].Seq != 6 {
				t.Fatalf("goes on at %d", es[0].Seq)
			}
			whole(t, s)
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			s = logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
			defer s.Close()
			if got := logtest.All(t, logtest.Must(s.Farm(c.Farm))(t)); len(got) != 6 || !reflect.DeepEqual(got[:5], wrote) {
				t.Fatalf("%d entries after opening again", len(got))
			}
		})
	}
}

func whole(t testing.TB, s *logstore.Store) logstore.Report {
	t.Helper()
	r := logtest.Must(s.Verify(nil))(t)
	if len(r.Faults) > 0 {
		t.Fatalf("faults: %v", r.Faults)
	}
	return r
}

// The disk fails once, or from then on, at each of the writes that a script
// makes in turn. Whatever was acknowledged is there, what was refused is not,
// and writing goes on.
func TestDiskFailsAtEveryWrite(t *testing.T) {
	for _, lasting := range []bool{false, true} {
		for n := 0; ; n++ {
			disk := newBad(vfs.NewMem())
			var count atomic.Int64
			s := logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
			disk.fail(func(op errorfs.Op) bool {
				if !writes(op) {
					return false
				}
				i := count.Add(1) - 1
				return i == int64(n) || lasting && i > int64(n)
			})
			script(t, s, disk)
			if err := s.Close(); err != nil && !errors.Is(err, logstore.ErrDisk) {
				t.Error(err)
			}
			disk.heal()
			s = logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
			if got := whole(t, s).Entries; got != scriptLength {
				t.Errorf("%d entries after opening again", got)
			}
			if err := s.Close(); err != nil || t.Failed() {
				t.Fatalf("at write %d, lasting %t: %v", n, lasting, err)
			}
			if count.Load() <= int64(n) {
				t.Logf("%d writes, lasting %t", n, lasting)
				break
			}
		}
	}
}

const scriptLength = 8

// script records entries; where the disk fails, it heals it and goes on.
func script(t *testing.T, s *logstore.Store, disk *bad) {
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	d := c.Devices[0]
	var wrote []entry.Entry
	for len(wrote) < scriptLength {
		draft := logtest.Note("number %d", len(wrote))
		if len(wrote) == 0 {
			draft = c.First(0)
		}
		es, err := l.Record(d.Key, d.ID, logtest.Morning, nil, draft)
		if err != nil {
			if !errors.Is(err, logstore.ErrDisk) {
				t.Errorf("error %v", err)
			}
			disk.heal()
			if err := s.Reopen(); err != nil {
				t.Fatalf("reopening: %v", err)
			}
			continue
		}
		wrote = append(wrote, es...)
		if len(wrote) == 5 {
			_ = l.SaveFold(nil, l.Heads(), make([]byte, 300_000))
			_ = l.SetPeer("p", l.Frontier())
		}
	}
	if got := logtest.All(t, l); !reflect.DeepEqual(got, wrote) {
		t.Errorf("%d entries, want %d", len(got), len(wrote))
	}
	if r := logtest.Must(s.Verify(nil))(t); len(r.Faults) > 0 {
		t.Errorf("faults %v", r.Faults)
	}
}

// full is a disk with a given room.
type full struct {
	vfs.FS
	room atomic.Uint64
}

func (f *full) GetDiskUsage(string) (vfs.DiskUsage, error) {
	return vfs.DiskUsage{AvailBytes: f.room.Load()}, nil
}

func TestFullDisk(t *testing.T) {
	disk := &full{FS: vfs.NewMem()}
	disk.room.Store(1 << 30)
	s := logtest.Must(logstore.Open("store", logstore.Options{FS: disk, Reserve: 1 << 20}))(t)
	defer s.Close()
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	disk.room.Store(1<<20 - 1)
	d := c.Devices[0]
	_, err := l.Record(d.Key, d.ID, logtest.Morning, nil, logtest.Note("no room"))
	if !errors.Is(err, logstore.ErrDisk) || !strings.Contains(fmt.Sprint(err), "0 MiB free, 1 needed") {
		t.Fatalf("error %v", err)
	}
	if err := s.SetSettings(map[string][]byte{"a": nil}); !errors.Is(err, logstore.ErrDisk) {
		t.Fatalf("error %v", err)
	}
	if got := logtest.All(t, l); len(got) != 1 {
		t.Fatalf("%d entries to read", len(got))
	}
	disk.room.Store(1 << 20)
	if es := c.Write(t, l, 0, logtest.Note("room again")); es[0].Seq != 2 {
		t.Fatalf("goes on at %d", es[0].Seq)
	}
}

// A store on a disk that takes no writes at all opens for reading.
func TestOpensForReading(t *testing.T) {
	disk := newBad(vfs.NewMem())
	s := logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	disk.fail(func(op errorfs.Op) bool { return op.Kind == errorfs.OpFileWrite })
	s = logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
	defer s.Close()
	l = logtest.Must(s.Farm(c.Farm))(t)
	if got := logtest.All(t, l); len(got) != 1 {
		t.Fatalf("%d entries to read", len(got))
	}
	d := c.Devices[0]
	if _, err := l.Record(d.Key, d.ID, logtest.Morning, nil, logtest.Note("x")); !errors.Is(err, logstore.ErrDisk) {
		t.Fatalf("error %v", err)
	}
	disk.heal()
	if err := s.Reopen(); err != nil {
		t.Fatal(err)
	}
	c.Write(t, l, 0, logtest.Note("goes on"))
	whole(t, s)
}
