package logstore_test

import (
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

// What is written at once can leave the device, whatever the sizes: no stretch
// between two signatures is a run that others refuse.
func TestSmallAndLargeAtOnce(t *testing.T) {
	c := logtest.NewCrew(1)
	l := logtest.Must(logtest.Must(logstore.Open("store", logstore.Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	c.Join(t, l, 0)
	rings := make([]entry.Ring, 2)
	for i := range rings {
		rings[i] = make(entry.Ring, 2*2120)
		for j := range rings[i] {
			rings[i][j] = int64(899_000_000-j*j%1000) * int64(1-2*(j/2%2))
		}
	}
	large := entry.Draft{Body: &entry.GroundSet{Name: entry.Opt[string]{Set: true, Val: "the hill"}, Boundary: rings}}
	small := logtest.Note("%s", strings.Repeat("x", 3000))
	c.Write(t, l, 0, small, large, small, large, large, small)
	far := logtest.Must(logtest.Must(logstore.Open("far", logstore.Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	runs := logtest.Runs(t, l, c.Devices[0].ID, 1, exchange.MaxBatch)
	size := 0
	for _, r := range runs {
		size = max(size, r.Size())
	}
	if size < exchange.MaxRun/2 {
		t.Fatalf("the largest run has %d bytes: too few to tell anything", size)
	}
	taken := logtest.Must(far.Take(runs))(t)
	if len(taken.Refused) > 0 || len(taken.Entries) != 7 {
		t.Errorf("%d of 7 entries are taken, refused is %v", len(taken.Entries), taken.Refused)
	}
}

// What was written or taken lies on the disk, and not in the memory too.
func TestMemoryOfTheLog(t *testing.T) {
	c := logtest.NewCrew(2)
	s := logtest.Must(logstore.Open(t.TempDir()+"/store", logstore.Options{}))(t)
	defer s.Close()
	l := logtest.Must(s.Farm(c.Farm))(t)
	far := logtest.Must(logtest.Must(logstore.Open("far", logstore.Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	c.Join(t, l, 0)
	c.Join(t, far, 1)
	logtest.Must(l.Take(logtest.Runs(t, far, c.Devices[1].ID, 1, 1<<20)))(t)
	note := logtest.Note("%s", strings.Repeat("x", 3900))
	held := func() int64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	const calls = 5000
	var runs [][]entry.Run
	for i := range calls / 5 {
		c.Write(t, far, 1, note)
		runs = append(runs, logtest.Runs(t, far, c.Devices[1].ID, uint64(i+2), 1))
	}
	before := held()
	for range calls {
		c.Write(t, l, 0, note)
	}
	// The engine keeps what it has not put into tables yet, two times 4 MB.
	if grown := held() - before; grown > calls*3900*2/3 {
		t.Errorf("%d notes recorded: %d kB more are held", calls, grown/1000)
	}
	before = held()
	for i := range runs {
		if taken := logtest.Must(l.Take(runs[i]))(t); len(taken.Entries) != 1 {
			t.Fatalf("%d entries taken, refused is %v", len(taken.Entries), taken.Refused)
		}
	}
	if grown := held() - before; grown > 12<<20 {
		t.Errorf("%d notes taken, one at a time: %d kB more are held", len(runs), grown/1000)
	}
	runtime.KeepAlive(runs)
}

// Where the call that writes for others breaks off, they are told so, and the
// next ones go on.
func TestWhoWritesForOthersBreaksOff(t *testing.T) {
	c := logtest.NewCrew(1)
	l := logtest.Must(logtest.Must(logstore.Open("store", logstore.Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	c.Join(t, l, 0)
	d := c.Devices[0]
	broken := make(chan any, 1)
	l.OnStored(func([]entry.Entry) { panic("somebody's mistake") })
	func() {
		defer func() { broken <- recover() }()
		_, _ = l.Record(d.Key, d.ID, logtest.Morning, nil, logtest.Note("one"))
	}()
	if <-broken == nil {
		t.Fatal("nothing broke off")
	}
	l.OnStored(func([]entry.Entry) {})
	if es, err := l.Record(d.Key, d.ID, logtest.Morning, nil, logtest.Note("two")); err != nil || es[0].Seq != 3 {
		t.Errorf("%v, %v", es, err)
	}
}

// Where the call that writes for others breaks off, none of them is told that
// its entries are stored.
func TestWhoWaitedForOneThatBrokeOff(t *testing.T) {
	c := logtest.NewCrew(1)
	disk, _, l := counted(t, c)
	c.Join(t, l, 0)
	d := c.Devices[0]
	hold := make(chan struct{})
	disk.hold.Store(&hold)
	told := 0
	l.OnStored(func([]entry.Entry) {
		if told++; told == 2 {
			panic("somebody's mistake")
		}
	})
	var all sync.WaitGroup
	var broken, stored atomic.Int64
	record := func() {
		defer func() {
			if recover() != nil {
				broken.Add(1)
			}
		}()
		if _, err := l.Record(d.Key, d.ID, logtest.Morning, nil, logtest.Note("one of several")); err == nil {
			stored.Add(1)
		}
	}
	all.Go(record)
	<-disk.held
	for range 5 {
		all.Go(record)
	}
	for l.InLine() < 5 {
		runtime.Gosched()
	}
	close(hold)
	all.Wait()
	if broken.Load() != 1 || stored.Load() != 1 {
		t.Errorf("%d calls broke off, %d of 6 were told that their entries are stored; the first alone was", broken.Load(), stored.Load())
	}
}

// Those who record at once may all have the same news of others: it is said
// once.
func TestSameNewsTwice(t *testing.T) {
	c := logtest.NewCrew(1)
	l := logtest.Must(logtest.Must(logstore.Open("store", logstore.Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	c.Join(t, l, 0)
	news := []entry.Mark{{Log: entry.LogID{0: 9, 6: 0x70, 8: 0x80}, Seq: 3}}
	for n, want := range []int{1, 0} {
		note := logtest.Note("number %d", n)
		note.Seen = news
		if es := c.Write(t, l, 0, note); len(es[0].Seen) != want {
			t.Errorf("note %d says that it has seen %v", n, es[0].Seen)
		}
	}
}
