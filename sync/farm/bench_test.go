package farm_test

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
	"turnrow/sync/units"
	"turnrow/sync/wire"
)

// season is the record of a big crew: eight devices that write what a crew
// writes, an entry every few seconds, and hear of each other now and then.
type season struct {
	farm    entry.FarmID
	setting []entry.Entry
	raws    [][]byte     // in total order
	heads   []chain.Head // of the eight, before them
	writer  []int        // of each
}

var noteWords = []string{"clover", "row", "low", "turn", "wet", "high", "light", "north", "gate", "bag"}

func newSeason(b *testing.B, n int) *season {
	c := setUp(&testing.T{})
	s := &season{farm: c.own.head.Farm}
	var heads []chain.Head
	for i := range 8 {
		p := c.join(c.own, byte(10+i), fmt.Sprint("p", i), entry.Operator)
		p.write(&entry.Noted{Text: "here"})
		meet(c.own, p)
		heads = append(heads, p.head.Clone())
		s.heads = append(s.heads, p.head.Clone())
	}
	for _, d := range devices(c.own) {
		s.setting = append(s.setting, c.own.all[d.Log()]...)
	}
	r := rand.New(rand.NewPCG(1, 2))
	clock := int64(1_790_000_000_000)
	for j := range n {
		i := j % 8
		clock += int64(1 + r.IntN(6000))
		d := entry.Draft{Clock: hlc.Time(clock << 16), Wall: clock, Body: c.written(r, j)}
		if r.IntN(40) == 0 { // hears of everyone
			for k := range heads {
				at := heads[i].Peer(heads[k].Log)
				if k != i && (at < 0 || heads[i].Seen[at] < heads[k].Seq) {
					d.Seen = append(d.Seen, heads[k].Mark())
				}
			}
		}
		raw, err := wire.Encode(&heads[i], d)
		if err != nil {
			b.Fatal(err)
		}
		heads[i].Advance(raw)
		s.raws, s.writer = append(s.raws, raw), append(s.writer, i)
	}
	return s
}

// written is what somebody writes on an ordinary day.
func (c *crew) written(r *rand.Rand, j int) entry.Body {
	word := func() string { return noteWords[r.IntN(len(noteWords))] }
	switch n := r.IntN(20); {
	case n < 10:
		return &entry.Filled{Box: c.grain, Lot: c.oat, Mass: units.Mass(1+r.IntN(50_000)) * 1000, Note: word() + " " + word()}
	case n < 14:
		return &entry.MeterRead{Drill: c.drill, Reading: units.Reading(j), Ground: c.bench}
	case n < 16:
		return &entry.Noted{Text: word() + " " + word() + " " + word() + " " + word()}
	case n < 18:
		return &entry.LevelRead{Box: c.grain, Mass: entry.Some(units.Mass(r.IntN(90_000)) * 1000)}
	case n < 19:
		return &entry.DialMoved{Box: c.grain, To: units.Dial(r.IntN(90)) * 1000, Why: word()}
	}
	return &entry.BagsIn{Lot: c.oat, Bags: units.Count(1+r.IntN(9)) * 1000}
}

// entries decodes the season.
func (s *season) entries(b *testing.B) []entry.Entry {
	decoders := make([]*wire.Decoder, len(s.heads))
	for i := range s.heads {
		h := s.heads[i].Clone()
		decoders[i] = wire.NewDecoder(&h)
	}
	es := make([]entry.Entry, len(s.raws))
	for j, raw := range s.raws {
		var err error
		if es[j], err = decoders[s.writer[j]].Next(raw); err != nil {
			b.Fatal(err)
		}
	}
	return es
}

func (s *season) state() *farm.State {
	st := farm.New(s.farm)
	st.Apply(s.setting...)
	return st
}

func heap() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// BenchmarkFold folds a record from nothing, in total order. Bytes kept are
// those of the state with the entries' own words.
func BenchmarkFold(b *testing.B) {
	for _, n := range []int{100_000, 1_000_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s := newSeason(b, n)
			var kept uint64
			for b.Loop() {
				b.StopTimer()
				before := heap()
				es := s.entries(b)
				st := s.state()
				b.StartTimer()
				st.Apply(es...)
				b.StopTimer()
				es = nil
				kept = heap() - before
				runtime.KeepAlive(st)
				runtime.KeepAlive(es)
				b.StartTimer()
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/entry")
			b.ReportMetric(float64(kept)/float64(n), "B/entry")
		})
	}
}

// BenchmarkLate applies entries that were written early and arrive last to a
// farm of 100,000.
func BenchmarkLate(b *testing.B) {
	s := newSeason(b, 100_000)
	es := s.entries(b)
	// The last device has been away from the first half of the season on.
	away := s.heads[7].Log
	i := 0
	var late []entry.Entry
	var st *farm.State
	for b.Loop() {
		if i == len(late) {
			b.StopTimer()
			st = s.state()
			late = nil
			for _, e := range es {
				if e.Log == away {
					e.Seen = nil
					late = append(late, e)
				} else if !slices.ContainsFunc(e.Seen, func(m entry.Mark) bool { return m.Log == away }) {
					st.Apply(e)
				} else {
					e.Seen = slices.DeleteFunc(slices.Clone(e.Seen), func(m entry.Mark) bool { return m.Log == away })
					st.Apply(e)
				}
			}
			i = 0
			b.StartTimer()
		}
		st.Apply(late[i])
		i++
	}
}

func season100k(b *testing.B) *farm.State {
	s := newSeason(b, 100_000)
	st := s.state()
	st.Apply(s.entries(b)...)
	return st
}

// BenchmarkDigest digests a farm of 100,000 entries.
func BenchmarkDigest(b *testing.B) {
	st := season100k(b)
	for b.Loop() {
		st.Digest()
	}
}

// BenchmarkView makes the view of a farm of 100,000 entries after each entry.
func BenchmarkView(b *testing.B) {
	s := newSeason(b, 101_000)
	es := s.entries(b)
	st := s.state()
	st.Apply(es[:100_000]...)
	i := 100_000
	for b.Loop() {
		if i < len(es) {
			st.Apply(es[i])
			i++
		}
		st.View()
	}
}

// BenchmarkFirstView makes the first view of a farm of 100,000 entries: what a
// program waits for that opens it.
func BenchmarkFirstView(b *testing.B) {
	id, es := ofWorkload(b, 100_000)
	for b.Loop() {
		b.StopTimer()
		st := farm.New(id)
		st.Apply(es...)
		runtime.GC()
		b.StartTimer()
		st.View()
	}
}

// opened reads runs, each device's in their order, into the total order.
func opened(t testing.TB, id entry.FarmID, runs []entry.Run) []entry.Entry {
	t.Helper()
	var es []entry.Entry
	heads := map[entry.DeviceID]chain.Head{}
	for _, run := range runs {
		h, ok := heads[run.Device]
		if !ok {
			var err error
			if h, err = wire.Start(id, run.Device, run.Entries[0]); err != nil {
				t.Fatal(err)
			}
		}
		_, next, more, err := wire.Open(h, run, nil)
		if err != nil {
			t.Fatal(err)
		}
		heads[run.Device], es = next, append(es, more...)
	}
	slices.SortFunc(es, func(a, b entry.Entry) int { return cmp.Or(cmp.Compare(a.Clock, b.Clock), a.ID.Compare(b.ID)) })
	return es
}
