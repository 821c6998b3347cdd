package logtest

import (
	"bytes"
	"cmp"
	"errors"
	"reflect"
	"slices"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// runsCut: a replica cuts a log only where it holds a signature, and its runs
// are within their bound.
func (s suite) runsCut(t *testing.T) {
	c := NewCrew(1)
	from, via, to := s.farm(t, "from", c), s.farm(t, "via", c), s.farm(t, "to", c)
	d := c.Devices[0].ID
	c.Join(t, from, 0)
	ends := []uint64{1}
	for _, n := range []int{7, 1, 12, 30, 2} {
		c.Write(t, from, 0, Notes(n)...)
		runs := Runs(t, from, d, ends[len(ends)-1]+1, exchange.MaxRun)
		if len(ends) == 1 {
			runs = Runs(t, from, d, 1, exchange.MaxRun)
		}
		if taken := Must(via.Take(runs))(t); len(taken.Refused) > 0 {
			t.Fatal(taken.Refused)
		}
		ends = append(ends, runs[len(runs)-1].Last())
	}
	for _, most := range []int{1, 200, 600, 2000, exchange.MaxRun} {
		for from := uint64(1); from <= ends[len(ends)-1]; from += 3 {
			next := from
			for _, r := range Runs(t, via, d, from, most) {
				if r.First != next || !slices.Contains(ends[1:], r.Last()) {
					t.Fatalf("most %d from %d: run %d to %d, signatures at %d", most, from, r.First, r.Last(), ends[1:])
				}
				next = r.Last() + 1
			}
			if next != ends[len(ends)-1]+1 {
				t.Fatalf("most %d from %d: ends before %d", most, from, next)
			}
		}
	}
	for _, r := range Runs(t, via, d, 1, 1) {
		if taken := Must(to.Take([]entry.Run{r}))(t); len(taken.Refused) > 0 {
			t.Fatal(taken.Refused)
		}
	}
	same(t, from, to)
}

// runsFromAnywhere: the writer can cut between large entries; runs keep to the
// bytes asked for, and large logs to runs of the bound.
func (s suite) runsFromAnywhere(t *testing.T) {
	c := NewCrew(1)
	l := s.farm(t, "a", c)
	d := c.Devices[0].ID
	c.Join(t, l, 0)
	big := make([]entry.Draft, 30)
	for i := range big {
		big[i] = entry.Draft{Body: &entry.Noted{Text: string(bytes.Repeat([]byte{'a' + byte(i%26)}, 10_000))}}
	}
	c.Write(t, l, 0, big...)
	for _, most := range []int{1, 15_000, 40_000, 100_000, 1 << 20} {
		runs, more, err := l.Runs(d.Log(), 4, most)
		if err != nil || len(runs) == 0 || runs[0].First != 4 {
			t.Fatalf("%d: %d runs, error %v", most, len(runs), err)
		}
		size := 0
		for i := range runs {
			size += runs[i].Size()
			if len(runs[i].Entries) > 1 && runs[i].Size() > min(most, exchange.MaxRun) {
				t.Errorf("%d: a run of %d bytes", most, runs[i].Size())
			}
		}
		if size > most && len(runs) > 1 {
			t.Errorf("%d: %d bytes", most, size)
		}
		if last := runs[len(runs)-1].Last(); more != (last < 31) {
			t.Errorf("%d: up to %d, more %t", most, last, more)
		}
	}
	for _, past := range []uint64{32, 1000} {
		if runs, more, err := l.Runs(d.Log(), past, 100); len(runs) > 0 || more || err != nil {
			t.Errorf("from %d: %d runs, more %t, error %v", past, len(runs), more, err)
		}
	}
	if runs, more, err := l.Runs(entry.LogID{7}, 1, 100); len(runs) > 0 || more || err != nil {
		t.Errorf("an unknown device: %d runs, more %t, error %v", len(runs), more, err)
	}
}

// each: entries come in the total order, from any heads on; an error of the
// reader ends it.
func (s suite) each(t *testing.T) {
	c := NewCrew(4)
	l := s.farm(t, "a", c)
	var wrote []entry.Entry
	var mid []chain.Head
	for round := range 6 {
		for i, d := range c.Devices {
			draft := Note("round %d", round)
			if round == 0 {
				draft = c.First(i)
			}
			wall := int64(Morning + (round*7919+i*104729)%5000) // out of order, and often the same
			wrote = append(wrote, Must(l.Record(d.Key, d.ID, wall, nil, draft))(t)...)
		}
		if round == 2 {
			mid = l.Heads()[1:]
		}
	}
	slices.SortFunc(wrote, func(a, b entry.Entry) int {
		return cmp.Or(cmp.Compare(a.Clock, b.Clock), a.ID.Compare(b.ID))
	})
	if got := All(t, l); !reflect.DeepEqual(got, wrote) {
		t.Fatal("not by clock")
	}
	rest := slices.DeleteFunc(slices.Clone(wrote), func(e entry.Entry) bool {
		return slices.ContainsFunc(mid, func(h chain.Head) bool { return h.Log == e.Log && e.Seq <= h.Seq })
	})
	if got := All(t, l, mid...); !reflect.DeepEqual(got, rest) {
		t.Fatalf("%d entries beyond the heads, want %d", len(got), len(rest))
	}
	if got := All(t, l, l.Heads()...); len(got) != 0 {
		t.Fatalf("%d entries beyond the last", len(got))
	}
	stop, n := errors.New("stop"), 0
	if err := l.Each(nil, func(entry.Entry) error {
		if n++; n == 5 {
			return stop
		}
		return nil
	}); err != stop || n != 5 {
		t.Fatalf("error %v after %d", err, n)
	}
}

// missing: two replicas that each hold what the other lacks end up equal, whatever
// the bytes of a message; each message is within its bytes, or one run.
func (s suite) missing(t *testing.T) {
	c := NewCrew(4)
	for _, most := range []int{1, 150, 700, 5000, exchange.MaxBatch} {
		a, b := s.farm(t, "a"+string(rune('0'+most%7)), c), s.farm(t, "b"+string(rune('0'+most%7)), c)
		for i := range c.Devices {
			l := a
			if i%2 == 1 {
				l = b
			}
			c.Join(t, l, i)
			c.Write(t, l, i, Notes(10*i+3)...)
		}
		for rounds := 0; ; rounds++ {
			there, size1 := s.send(t, a, b, most)
			back, size2 := s.send(t, b, a, most)
			if max(size1, size2) > most {
				t.Fatalf("messages of %d and %d bytes where %d were asked for", size1, size2, most)
			}
			if there+back == 0 {
				break
			}
			if rounds > 1000 {
				t.Fatalf("%d bytes: round %d", most, rounds)
			}
		}
		same(t, a, b)
	}
}

// send gives one replica what it lacks of another, and says how many entries it
// took or runs it put aside as of a fork, and how large the message was beyond
// its first run.
func (s suite) send(t *testing.T, from, to Log, most int) (moved, size int) {
	t.Helper()
	runs, _, err := exchange.Missing(from, exchange.Have(to), most)
	if err != nil {
		t.Fatal(err)
	}
	for i := range runs {
		if size += runs[i].Size(); i == 0 {
			size = min(size, most)
		}
	}
	taken := Must(to.Take(runs))(t)
	for _, r := range taken.Refused {
		if !errors.Is(r.Err, chain.ErrFork) {
			t.Fatal(r)
		}
	}
	return len(taken.Entries) + len(taken.Refused), size
}
