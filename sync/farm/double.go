package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// likeAmount is how near, in per cent, two amounts are for one fill written
// twice; nearInTime is how near in time, in ms. Both are our own figures.
const (
	likeAmount = 10
	nearInTime = 20 * 60 * 1000
)

// pouring is what a fill or a drain must share with its twin.
type pouring struct {
	kind entry.Kind
	side int64
	lot  entry.ID
	all  bool
	bags bool
}

// doubleEntries finds pairs that look like one fill, or one drain, written by
// two people: same box and side, same lot, like amount, two devices, apart,
// within 20 minutes. An entry is paired with the nearest in time before it,
// and with one of a device at the most, so that two rounds of fills written
// twice are two pairs and not six.
func (s *State) doubleEntries(t *thing) []finding {
	var out []finding
	about := t.kind.String() + " " + s.name(t.id)
	recent := map[pouring][]amount{}
	twinned := map[[2]*device]*rec{}
	for _, r := range t.events.all() {
		r.double = false
		p, m, ok := s.pouringOf(r)
		if !ok {
			continue
		}
		window := recent[p]
		for len(window) > 0 && r.clock.Millis()-window[0].rec.clock.Millis() > nearInTime {
			window = window[1:]
		}
		for i := len(window) - 1; i >= 0; i-- {
			o := window[i].rec
			if o.dev == r.dev || !near(m, window[i].mass) || o == twinned[[2]*device{o.dev, r.dev}] || !apart(o, r) {
				continue
			}
			twinned[[2]*device{o.dev, r.dev}] = o
			o.double, r.double = true, true
			out = append(out, finding{DoubleEntry, about, []*rec{o, r}})
			break
		}
		recent[p] = append(window, amount{r, m})
	}
	return out
}

// amount is a fill or a drain with what it came to.
type amount struct {
	rec  *rec
	mass units.Mass
}

// doublesOf is the pairs of a box, found once for each view.
func (s *State) doublesOf(t *thing) []finding {
	if f, ok := s.doubles[t]; ok {
		return f
	}
	f := s.doubleEntries(t)
	if s.doubles == nil {
		s.doubles = map[*thing][]finding{}
	}
	s.doubles[t] = f
	return f
}

// openDouble says whether an entry seems to be written twice, by the last that
// was found, and nobody has yet said whether it was.
func (s *State) openDouble(r *rec) bool { return r.double && !s.covered(DoubleEntry, r) }

func (s *State) pouringOf(r *rec) (pouring, units.Mass, bool) {
	switch b := r.eff.(type) {
	case *entry.Filled:
		p := pouring{kind: entry.KindFilled, side: b.Side, lot: s.canon(b.Lot)}
		if m := s.filledMass(b); m > 0 {
			return p, m, true
		}
		p.bags = true // of a lot whose bag mass is not known
		return p, units.Mass(b.Bags), true
	case *entry.Drained:
		return pouring{kind: entry.KindDrained, side: b.Side, all: b.All}, b.Mass, true
	}
	return pouring{}, 0, false
}

func near(a, b units.Mass) bool {
	return (max(a, b)-min(a, b))*100 <= max(a, b)*likeAmount
}
