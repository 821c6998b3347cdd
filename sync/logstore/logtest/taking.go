package logtest

import (
	"errors"
	"reflect"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// take: runs of several devices arrive whole, and are there after opening again.
func (s suite) take(t *testing.T) {
	c := NewCrew(3)
	from := s.farm(t, "from", c)
	for i := range c.Devices {
		c.Join(t, from, i)
		c.Write(t, from, i, Notes(20)...)
	}
	st := s.start(t, "to")
	to := Must(st.Farm(c.Farm))(t)
	runs, more, err := exchange.Missing(from, to.Frontier(), exchange.UsualBatch)
	if err != nil || more {
		t.Fatal(more, err)
	}
	taken := Must(to.Take(runs))(t)
	if len(taken.Refused) != 0 || len(taken.Entries) != 63 || !reflect.DeepEqual(taken.New, from.Frontier()) {
		t.Fatalf("%d entries, refused %v, now %v", len(taken.Entries), taken.Refused, taken.New)
	}
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	st = s.open(t, "to")
	same(t, Must(st.Farm(c.Farm))(t), from)
	whole(t, st)
}

// same fails where two logs differ.
func same(t testing.TB, a, b Log) {
	t.Helper()
	if !reflect.DeepEqual(a.Heads(), b.Heads()) {
		t.Fatalf("heads differ:\n%+v\n%+v", a.Heads(), b.Heads())
	}
	if !reflect.DeepEqual(All(t, a), All(t, b)) {
		t.Fatal("entries differ")
	}
}

// whole fails where a check of the whole store finds anything.
func whole(t testing.TB, s Store) {
	t.Helper()
	if faults := Must(s.Faults())(t); len(faults) > 0 {
		t.Fatalf("faults: %q", faults)
	}
}

// takeRefuses: a bad run is refused with its reason, and the good ones beside
// it are stored.
func (s suite) takeRefuses(t *testing.T) {
	c := NewCrew(3)
	from := s.farm(t, "from", c)
	for i := range c.Devices {
		c.Join(t, from, i)
		c.Write(t, from, i, Notes(3)...)
	}
	run := func(i int) entry.Run {
		r := Runs(t, from, c.Devices[i].ID, 1, exchange.MaxRun)[0]
		r.Entries = append([][]byte{}, r.Entries...)
		return r
	}
	flip := func(b []byte) []byte {
		b = append([]byte{}, b...)
		b[len(b)-1] ^= 1
		return b
	}
	huge := make([][]byte, 4)
	for i := range huge {
		huge[i] = make([]byte, exchange.MaxRun/3)
	}
	for _, bad := range []struct {
		name  string
		spoil func(r *entry.Run)
		want  error
	}{
		{"altered", func(r *entry.Run) { r.Entries[1] = flip(r.Entries[1]) }, entry.ErrSignature},
		{"signature altered", func(r *entry.Run) { r.Sig[5] ^= 1 }, entry.ErrSignature},
		{"reordered", func(r *entry.Run) { r.Entries[1], r.Entries[2] = r.Entries[2], r.Entries[1] }, entry.ErrSignature},
		{"cut where nobody signed", func(r *entry.Run) { r.Entries = r.Entries[:3] }, entry.ErrSignature},
		{"another's signature", func(r *entry.Run) { r.Sig = run(2).Sig }, entry.ErrSignature},
		{"under another's name", func(r *entry.Run) { r.Device = entry.DeviceID{9} }, entry.ErrSignature},
		{"beginning later", func(r *entry.Run) { r.First, r.Entries = 2, r.Entries[1:] }, chain.ErrGap},
		{"number 0", func(r *entry.Run) { r.First = 0 }, chain.ErrGap},
		{"no entries", func(r *entry.Run) { r.Entries = nil }, chain.ErrGap},
		{"first entry names no key", func(r *entry.Run) { r.Entries = r.Entries[1:] }, exchange.ErrMalformed},
		{"no entry at all", func(r *entry.Run) { r.Entries = [][]byte{{0xff, 0xff}} }, exchange.ErrMalformed},
		{"too long", func(r *entry.Run) { r.Entries = append(r.Entries, huge...) }, exchange.ErrBound},
		{"too large an entry", func(r *entry.Run) { r.Entries = [][]byte{make([]byte, entry.MaxRaw+1)} }, exchange.ErrBound},
	} {
		t.Run(bad.name, func(t *testing.T) {
			to := s.farm(t, "to "+bad.name, c)
			r := run(1)
			bad.spoil(&r)
			taken := Must(to.Take([]entry.Run{run(0), r, run(2)}))(t)
			if len(taken.Refused) != 1 || !errors.Is(taken.Refused[0].Err, bad.want) {
				t.Fatalf("refused %v", taken.Refused)
			}
			if got := taken.Refused[0]; got.Device != r.Device || got.First != r.First {
				t.Errorf("refused %s from %d", got.Device, got.First)
			}
			if len(taken.Entries) != 8 || len(to.Frontier()) != 2 {
				t.Errorf("%d entries taken, frontier %v", len(taken.Entries), to.Frontier())
			}
		})
	}
	t.Run("of another farm", func(t *testing.T) {
		to := Must(s.open(t, "to farm").Farm(entry.FarmID{1}))(t)
		if taken := Must(to.Take([]entry.Run{run(0), run(1)}))(t); len(taken.Refused) != 2 || len(to.Frontier()) != 0 {
			t.Fatalf("refused %v, frontier %v", taken.Refused, to.Frontier())
		}
	})
}

// takeRepeats: what is held already is passed over, and a run that begins in it
// is taken from where it goes on.
func (s suite) takeRepeats(t *testing.T) {
	c := NewCrew(1)
	from, to := s.farm(t, "from", c), s.farm(t, "to", c)
	c.Join(t, from, 0)
	d := c.Devices[0].ID
	c.Write(t, from, 0, Notes(4)...)
	early := Runs(t, from, d, 1, exchange.MaxRun)
	c.Write(t, from, 0, Notes(4)...)
	late := Runs(t, from, d, 3, exchange.MaxRun)
	all := Runs(t, from, d, 1, exchange.MaxRun)
	for _, step := range []struct {
		runs []entry.Run
		news int
	}{{early, 5}, {early, 0}, {late, 4}, {all, 0}, {append(early, late...), 0}} {
		taken := Must(to.Take(step.runs))(t)
		if len(taken.Entries) != step.news || len(taken.Refused) != 0 {
			t.Fatalf("%d new, want %d; refused %v", len(taken.Entries), step.news, taken.Refused)
		}
	}
	same(t, from, to)
	// Overlapping runs within one batch, where the first is not stored yet.
	again := s.farm(t, "again", c)
	if taken := Must(again.Take(append(early, late...)))(t); len(taken.Entries) != 9 || len(taken.Refused) != 0 {
		t.Fatalf("%d new, refused %v", len(taken.Entries), taken.Refused)
	}
	same(t, from, again)
}
