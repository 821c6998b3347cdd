package logtest

import (
	"reflect"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// onStored: who follows a log is told of each new entry once, before the
// writer goes on, each device's in order.
func (s suite) onStored(t *testing.T) {
	c := NewCrew(2)
	from, to := s.farm(t, "from", c), s.farm(t, "to", c)
	var told []entry.ID
	to.OnStored(func(es []entry.Entry) {
		for _, e := range es {
			told = append(told, e.ID)
		}
		if f := to.Frontier(); f.Seq(es[len(es)-1].Log) != es[len(es)-1].Seq {
			t.Errorf("told of %s, frontier %v", es[len(es)-1].ID, f)
		}
	})
	c.Join(t, to, 0)
	c.Write(t, to, 0, Notes(2)...)
	c.Join(t, from, 1)
	c.Write(t, from, 1, Notes(1)...)
	s.send(t, from, to, exchange.UsualBatch)
	s.send(t, from, to, exchange.UsualBatch)
	a, b := c.Devices[0].ID, c.Devices[1].ID
	want := []entry.ID{{Log: a.Log(), Seq: 1}, {Log: a.Log(), Seq: 2}, {Log: a.Log(), Seq: 3}, {Log: b.Log(), Seq: 1}, {Log: b.Log(), Seq: 2}}
	if !reflect.DeepEqual(told, want) {
		t.Errorf("told of %v", told)
	}
}

// sideBySide: many writers and takers at once lose nothing, double nothing and
// keep every order.
func (s suite) sideBySide(t *testing.T) {
	const devices, writes = 6, 30
	c := NewCrew(devices)
	st := s.open(t, "a")
	l := Must(st.Farm(c.Farm))(t)
	next := map[entry.LogID]uint64{}
	l.OnStored(func(es []entry.Entry) {
		for _, e := range es {
			if next[e.Log]++; e.Seq != next[e.Log] {
				t.Errorf("told of %s, expected %d", e.ID, next[e.Log])
			}
		}
	})
	var wg sync.WaitGroup
	for i := range c.Devices {
		if i%2 == 0 { // writes here
			wg.Go(func() {
				c.Join(t, l, i)
				for n := range writes {
					c.Write(t, l, i, Note("%d", n), Note("%d again", n))
				}
			})
			continue
		}
		remote := s.farm(t, "remote "+c.Devices[i].ID.String(), c)
		c.Join(t, remote, i)
		for range 3 { // three who bring the same
			wg.Go(func() {
				for range writes {
					runs, _, err := exchange.Missing(remote, l.Frontier(), 500)
					if err != nil {
						t.Error(err)
						return
					}
					taken, err := l.Take(runs)
					if err != nil || len(taken.Refused) > 0 {
						t.Errorf("refused %v, error %v", taken.Refused, err)
					}
				}
			})
		}
		wg.Go(func() {
			for n := range writes {
				c.Write(t, remote, i, Note("%d", n))
			}
		})
	}
	wg.Wait()
	for i, d := range c.Devices {
		h, _ := l.Head(d.ID)
		if i%2 == 0 && h.Seq != 1+2*writes || h.Seq != next[d.ID.Log()] {
			t.Errorf("device %d at %d, told up to %d", i, h.Seq, next[d.ID.Log()])
		}
	}
	if got, want := len(All(t, l)), int(l.Frontier().Entries()); got != want {
		t.Errorf("%d entries, frontier says %d", got, want)
	}
	whole(t, st)
}

// anyRoad: however a record is cut into runs, and in whatever order and how
// often they come, the end is the same log.
func (s suite) anyRoad(t *testing.T) {
	c := NewCrew(3)
	from := s.farm(t, "from", c)
	for i := range c.Devices {
		c.Join(t, from, i)
	}
	for n := range 40 {
		c.Write(t, from, (n*n+n/3)%3, Note("%d", n))
	}
	number := 0
	rapid.Check(t, func(r *rapid.T) {
		number++
		st := s.start(t, "to "+string(rune('a'+number%26))+string(rune('a'+number/26%26))+string(rune('a'+number/676)))
		defer st.Close()
		to := Must(st.Farm(c.Farm))(t)
		var runs []entry.Run
		for _, d := range c.Devices {
			runs = append(runs, pieces(t, r, from, d.ID)...)
		}
		runs = rapid.Permutation(runs).Draw(r, "order")
		for to.Frontier().Entries() < from.Frontier().Entries() {
			for chunk := range slices.Chunk(runs, 1+rapid.IntRange(0, 6).Draw(r, "batch")) {
				for _, refused := range Must(to.Take(chunk))(t).Refused {
					if exchange.ReasonOf(refused.Err) != exchange.ReasonGap {
						r.Fatal(refused)
					}
				}
			}
		}
		same(t, from, to)
	})
}

// pieces cuts a log at random, with stretches that overlap and repeat.
func pieces(t testing.TB, r *rapid.T, l Log, d entry.DeviceID) []entry.Run {
	h, _ := l.Head(d)
	var runs []entry.Run
	for next := uint64(1); next <= h.Seq; {
		first := next - min(next-1, uint64(rapid.IntRange(0, 3).Draw(r, "overlap")))
		size := rapid.IntRange(1, 400).Draw(r, "size")
		got, _, err := l.Runs(d.Log(), first, size)
		if err != nil {
			t.Fatal(err)
		}
		runs = append(runs, got[0])
		if rapid.Bool().Draw(r, "twice") {
			runs = append(runs, got[0])
		}
		next = max(next, got[0].Last()+1)
	}
	return runs
}
