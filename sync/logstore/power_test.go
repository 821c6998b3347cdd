package logstore_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"sync"
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"
	"github.com/cockroachdb/pebble/v2/vfs/errorfs"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

// cut is what a power cut left of a disk, and what had been acknowledged by
// then.
type cut struct {
	at      string
	disk    *vfs.MemFS
	entries map[entry.LogID][]entry.Entry
	setting string
}

// day is a scripted day on a disk that can lose its power: before each thing
// that is done to the disk, it keeps what would be left.
type day struct {
	t    *testing.T
	disk *vfs.MemFS
	fs   vfs.FS
	mu   sync.Mutex
	ack  cut
	cuts []cut
	rng  *rand.Rand
}

func newDay(t *testing.T) *day {
	d := &day{t: t, disk: vfs.NewCrashableMem(), rng: rand.New(rand.NewPCG(5, 11))}
	d.ack.entries = map[entry.LogID][]entry.Entry{}
	d.fs = errorfs.Wrap(d.disk, errorfs.InjectorFunc(func(op errorfs.Op) error {
		switch op.Kind {
		case errorfs.OpFileWrite, errorfs.OpFileClose, errorfs.OpFilePreallocate, errorfs.OpLock:
			// What is written between two syncs is lost, or in part, at the next.
		default:
			if op.Kind.ReadOrWrite() == errorfs.OpIsWrite {
				d.lose(fmt.Sprintf("%d of %s", op.Kind, op.Path))
			}
		}
		return nil
	}))
	return d
}

// lose keeps what a power cut now would leave: what was synced alone, and that
// with some of the rest.
func (d *day) lose(at string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, unsynced := range []int{0, 50} {
		c := d.ack
		c.at = fmt.Sprintf("cut %d, %s, %d %% of what was not synced", len(d.cuts), at, unsynced)
		c.entries = map[entry.LogID][]entry.Entry{}
		for id, es := range d.ack.entries {
			c.entries[id] = es[:len(es):len(es)]
		}
		c.disk = d.disk.CrashClone(vfs.CrashCloneCfg{UnsyncedDataPercent: unsynced, RNG: d.rng})
		d.cuts = append(d.cuts, c)
	}
}

func (d *day) acknowledged(es []entry.Entry) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, e := range es {
		d.ack.entries[e.Log] = append(d.ack.entries[e.Log], e)
	}
}

func (d *day) set(s *logstore.Store, value string) {
	if err := s.SetSettings(map[string][]byte{"at": []byte(value)}); err != nil {
		d.t.Fatal(err)
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.ack.setting = value
}

// play is the day: a phone that records, takes in what others wrote, a little
// and a lot, and is closed and opened in between.
func (d *day) play(c *logtest.Crew, far logtest.Log) {
	for session := range 3 {
		s := logtest.Must(logstore.Open("home/store", logstore.Options{FS: d.fs}))(d.t)
		l := logtest.Must(s.Farm(c.Farm))(d.t)
		if session == 0 {
			d.acknowledged(c.Write(d.t, l, 0, c.First(0)))
		}
		for n := range 4 {
			d.acknowledged(c.Write(d.t, l, 0, logtest.Note("%d of session %d", n, session), logtest.Note("and")))
			d.set(s, fmt.Sprint(session, n))
			runs, _, err := exchange.Missing(far, l.Frontier(), 120_000)
			if err != nil {
				d.t.Fatal(err)
			}
			d.acknowledged(logtest.Must(l.Take(runs))(d.t).Entries)
			if err := l.SetPeer("far", far.Frontier()); err != nil {
				d.t.Fatal(err)
			}
		}
		if err := l.SaveFold(l.Frontier(), l.Heads(), make([]byte, 100_000)); err != nil {
			d.t.Fatal(err)
		}
		if err := s.Close(); err != nil {
			d.t.Fatal(err)
		}
	}
	d.lose("the end")
}

// After a power cut at any moment, all that was acknowledged is there, the
// chains are whole, and writing goes on.
func TestPowerCutAnywhere(t *testing.T) {
	c := logtest.NewCrew(3)
	far := logtest.Must(logtest.Must(logstore.Open("far", logstore.Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	for i := 1; i < 3; i++ {
		c.Join(t, far, i)
		for n := range 60 {
			c.Write(t, far, i, logtest.Note("%d %s", n, string(make([]byte, 8000))))
		}
	}
	d := newDay(t)
	d.play(c, far)
	t.Logf("%d power cuts", len(d.cuts))
	for i := range d.cuts {
		if d.cuts[i].check(t, c, i%5 == 0); t.Failed() {
			t.Fatal(d.cuts[i].at)
		}
	}
}

func (c *cut) check(t *testing.T, crew *logtest.Crew, goOn bool) {
	s, err := logstore.Open("home/store", logstore.Options{FS: c.disk})
	if err != nil {
		t.Fatalf("%s: %v", c.at, err)
	}
	defer s.Close()
	whole(t, s)
	l := logtest.Must(s.Farm(crew.Farm))(t)
	got := map[entry.LogID][]entry.Entry{}
	for _, e := range logtest.All(t, l) {
		got[e.Log] = append(got[e.Log], e)
	}
	for id, es := range c.entries {
		if len(got[id]) < len(es) || !reflect.DeepEqual(got[id][:len(es)], es) {
			t.Errorf("%d entries of %s, %d were acknowledged", len(got[id]), id, len(es))
		}
		if h, _ := l.Head(id.Device()); h.Seq != uint64(len(got[id])) || l.Frontier().Mark(id) != h.Mark() {
			t.Errorf("head of %s at %d, %d entries", id, h.Seq, len(got[id]))
		}
	}
	c.checkSaved(t, s, l)
	if goOn {
		draft := logtest.Note("after the power cut")
		if len(got[crew.Devices[0].ID.Log()]) == 0 {
			draft = crew.First(0)
		}
		crew.Write(t, l, 0, draft)
		whole(t, s)
	}
}

func (c *cut) checkSaved(t *testing.T, s *logstore.Store, l *logstore.Log) {
	if c.setting != "" {
		if got := logtest.Must(s.Setting("at"))(t); string(got) < c.setting {
			t.Errorf("setting %q, %q was acknowledged", got, c.setting)
		}
	}
	heads, fold := logtest.Folded(t, l)
	f := chain.Reached(heads)
	if !l.Frontier().Covers(f) || len(heads) > 0 && len(fold) != 100_000 {
		t.Errorf("fold of %d bytes at %v, stored is %v", len(fold), f, l.Frontier())
	}
}
