package farm

import (
	"turnrow/sync/units"
)

// likeAmount is how near, in per cent, two amounts are for one fill written
// twice; nearInTime is how near in time, in ms. Both are our own figures.
const (
	likeAmount = 10
	nearInTime = 20 * 60 * 1000
)

// doubleEntries finds pairs that look like one fill, or one drain, written by
// two people: same box and side, same lot, like amount, two devices, apart,
// within 20 minutes. An entry is paired with the nearest in time before it,
// and with one of a device at the most, so that two rounds of fills written
// twice are two pairs and not six.
func (s *State) doubleEntries(t *thing) []twins {
	var out []twins
	recent := map[pouring]*window{}
	twinned := map[[2]*device]*rec{}
	ds := s.deeds(t)
	for i := range ds {
		d := &ds[i]
		if d.kind == 0 {
			continue
		}
		w := recent[d.pouring]
		if w == nil {
			w = new(window)
			recent[d.pouring] = w
		}
		recently := w.until(d.at)
		for i := len(recently) - 1; i >= 0; i-- {
			if !near(d.mass, recently[i].mass) || recently[i].dev == d.from {
				continue
			}
			pair, o := [2]*device{recently[i].dev, d.from}, recently[i].rec
			if o == twinned[pair] || !apart(o, d.rec) {
				continue
			}
			twinned[pair] = o
			o.double, d.double = true, true
			out = append(out, twins{o, d.rec})
			break
		}
		w.in = append(w.in, amount{d.rec, d.from, d.mass, d.at})
	}
	return out
}

// twins are two entries that look like one thing written twice.
type twins [2]*rec

// amount is a fill or a drain with what it came to.
type amount struct {
	rec  *rec
	dev  *device
	mass units.Mass
	at   int64 // ms since 1970
}

// window is the fills, or drains, of one kind that are near in time.
type window struct {
	in  []amount
	old int // of them that lie too far back
}

// until leaves out what lies too far back.
func (w *window) until(now int64) []amount {
	for w.old < len(w.in) && now-w.in[w.old].at > nearInTime {
		w.old++
	}
	if w.old > len(w.in)/2 {
		w.in, w.old = append(w.in[:0], w.in[w.old:]...), 0
	}
	return w.in[w.old:]
}

// doublesOf is the pairs of a box, found once for each view.
func (s *State) doublesOf(t *thing) []twins {
	if f, ok := s.doubles[t]; ok {
		return f
	}
	f := s.doubleEntries(t)
	if s.doubles == nil {
		s.doubles = map[*thing][]twins{}
	}
	s.doubles[t] = f
	return f
}

// openDouble says whether an entry seems to be written twice, by the last that
// was found, and nobody has yet said whether it was.
func (s *State) openDouble(r *rec) bool { return r.double && !s.covered(DoubleEntry, r) }

func near(a, b units.Mass) bool {
	return (max(a, b)-min(a, b))*100 <= max(a, b)*likeAmount
}
