package logstore_test

import (
	"errors"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"
	"github.com/cockroachdb/pebble/v2/vfs/errorfs"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
	"turnrow/sync/wire"
)

// What the log costs in syncs and bytes, which are the same on every machine,
// however busy. A bound here is about a tenth above what it was when it was set.

// counting is a disk that counts the syncs of the engine's log, and can hold one
// back.
type counting struct {
	vfs.FS
	syncs atomic.Int64
	hold  atomic.Pointer[chan struct{}] // the next sync waits for it to close
	held  chan struct{}                 // gets one when a sync waits
}

func newCounting() *counting {
	c := &counting{held: make(chan struct{}, 1)}
	c.FS = errorfs.Wrap(vfs.NewMem(), errorfs.InjectorFunc(func(op errorfs.Op) error {
		switch op.Kind {
		case errorfs.OpFileSync, errorfs.OpFileSyncData, errorfs.OpFileSyncTo:
		default:
			return nil
		}
		if !inLog(op) {
			return nil
		}
		c.syncs.Add(1)
		if hold := c.hold.Swap(nil); hold != nil {
			c.held <- struct{}{}
			<-*hold
		}
		return nil
	}))
	return c
}

func counted(t *testing.T, crew *logtest.Crew) (*counting, *logstore.Store, *logstore.Log) {
	t.Helper()
	disk := newCounting()
	s := logtest.Must(logstore.Open("store", logstore.Options{FS: disk}))(t)
	t.Cleanup(func() { s.Close() })
	return disk, s, logtest.Must(s.Farm(crew.Farm))(t)
}

// One call is one sync, however much it brings.
func TestSyncsOfACall(t *testing.T) {
	c := logtest.NewCrew(8)
	disk, _, l := counted(t, c)
	far := logtest.Must(logtest.Must(logstore.Open("far", logstore.Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	for i := range c.Devices {
		c.Join(t, far, i)
		for range 5 {
			c.Write(t, far, i, logtest.Notes(10)...)
		}
	}
	runs, _, err := exchange.Missing(far, nil, exchange.MaxBatch)
	if err != nil {
		t.Fatal(err)
	}
	syncs := func(do func()) int64 {
		before := disk.syncs.Load()
		do()
		return disk.syncs.Load() - before
	}
	if n := syncs(func() { logtest.Must(l.Take(runs))(t) }); n != 1 {
		t.Errorf("%d runs are taken in %d syncs", len(runs), n)
	}
	if n := syncs(func() { c.Write(t, l, 0, logtest.Notes(10)...) }); n != 1 {
		t.Errorf("10 entries are recorded in %d syncs", n)
	}
	if n := syncs(func() { logtest.Must(l.Take(runs))(t) }); n != 0 {
		t.Errorf("what is there already is taken in %d syncs", n)
	}
}

// Those who record while the disk is busy share the next sync and the next
// signature, each with entries of its own; one whose words do not fit is told
// so, and keeps nobody else's out.
func TestWhoRecordsAtOnceSharesASync(t *testing.T) {
	const writers = 64
	c := logtest.NewCrew(1)
	disk, _, l := counted(t, c)
	c.Join(t, l, 0)
	d := c.Devices[0]
	record := func(drafts ...entry.Draft) ([]entry.Entry, error) {
		return l.Record(d.Key, d.ID, logtest.Morning, nil, drafts...)
	}
	before, hold := disk.syncs.Load(), make(chan struct{})
	disk.hold.Store(&hold)
	var all sync.WaitGroup
	var got [writers][]entry.Entry
	var errs [writers]error
	all.Go(func() { got[0], errs[0] = record(logtest.Note("writer 0")) })
	<-disk.held // the first is on its way to the disk
	for i := 1; i < writers; i++ {
		all.Go(func() {
			switch i {
			case 7:
				got[i], errs[i] = record(logtest.Note("fits"), logtest.Note("%s", strings.Repeat("x", entry.MaxText+1)))
			default:
				got[i], errs[i] = record(logtest.Note("writer %d", i), logtest.Note("and"))
			}
		})
	}
	for l.InLine() < writers-1 {
		runtime.Gosched()
	}
	close(hold)
	all.Wait()
	if n := disk.syncs.Load() - before; n != 2 {
		t.Errorf("%d syncs for %d writers, one of which came first", n, writers)
	}
	seen := map[uint64]bool{}
	for i, es := range got {
		if i == 7 {
			if !errors.Is(errs[i], wire.ErrDraft) || es != nil {
				t.Errorf("words that do not fit: %v, %v", es, errs[i])
			}
			continue
		}
		if want := min(2, 1+i); errs[i] != nil || len(es) != want {
			t.Fatalf("writer %d has %d entries, %v", i, len(es), errs[i])
		}
		for n, e := range es {
			seen[e.Seq] = true
			if e.Seq != es[0].Seq+uint64(n) {
				t.Errorf("writer %d's entries are parted: %v", i, es)
			}
		}
	}
	if want := 1 + 2*(writers-2); len(seen) != want || len(logtest.All(t, l)) != 1+want {
		t.Errorf("%d entries were given, %d are there, %d were written", len(seen), len(logtest.All(t, l))-1, want)
	}
	if runs := logtest.Runs(t, l, d.ID, 3, 1); runs[0].Last() != uint64(1+len(seen)) {
		t.Errorf("entries 3 to %d have more than one signature: it ends at %d", 1+len(seen), runs[0].Last())
	}
}

// The bytes that reach the disk for each entry of a crew of eight.
func TestBytesWritten(t *testing.T) {
	c := logtest.NewCrew(8)
	_, s, l := counted(t, c)
	for i := range c.Devices {
		c.Join(t, l, i)
	}
	c.Write(t, l, 0, logtest.Note("has seen them all"))
	for _, m := range []struct{ batch, most int }{{1, 430}, {10, 132}} {
		const calls = 100
		before := s.Logged()
		for range calls {
			c.Write(t, l, 0, logtest.Notes(m.batch)...)
		}
		each := float64(s.Logged()-before) / float64(calls*m.batch)
		t.Logf("%d at a time: %.0f bytes each", m.batch, each)
		if each > float64(m.most) {
			t.Errorf("%d at a time, %.0f bytes are written for an entry, %d at most should be", m.batch, each, m.most)
		}
	}
}

// What recording and reading take of the memory.
func TestAllocations(t *testing.T) {
	c := logtest.NewCrew(8)
	_, _, l := counted(t, c)
	for i := range c.Devices {
		c.Join(t, l, i)
	}
	notes := logtest.Notes(100)
	one := testing.AllocsPerRun(50, func() { c.Write(t, l, 0, notes[:1]...) })
	many := testing.AllocsPerRun(20, func() { c.Write(t, l, 0, notes...) }) / 100
	n := 0
	each := testing.AllocsPerRun(5, func() {
		n = 0
		if err := l.Each(nil, func(entry.Entry) error { n++; return nil }); err != nil {
			t.Fatal(err)
		}
	}) / float64(n)
	t.Logf("%.0f allocations to record one entry, %.1f each of 100 at once, %.1f to read one", one, many, each)
	if one > 60 || many > 14 || each > 4 {
		t.Errorf("%.0f allocations to record one entry (at most 60), %.1f each of 100 at once (14), %.1f to read one (4)", one, many, each)
	}
}
