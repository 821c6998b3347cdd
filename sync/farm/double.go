package farm

import (
	"cmp"
	"slices"
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
func (s *workSt) doubleEntries(t *thing) []twins {
	var out []twins
	recent := map[pouring]*window{}
	twinned := map[[2]uint32]*deed{}
	for _, d := range byWall(t.deeds.all()) {
		if d.double = false; !d.pours() {
			continue
		}
		p, much := s.pouring(d)
		w := recent[p]
		if w == nil {
			w = new(window)
			recent[p] = w
		}
		recently := w.until(d.at)
		for i := len(recently) - 1; i >= 0; i-- {
			o := recently[i].deed
			if !near(much, recently[i].much) || o.from == d.from {
				continue
			}
			pair := [2]uint32{o.from, d.from}
			if o == twinned[pair] || o.knew(d) || d.knew(o) {
				continue
			}
			twinned[pair] = o
			o.double, d.double = true, true
			if len(out) == cap(out) { // there may be very many: make room for twice as many, and not a quarter more
				out = slices.Grow(out, max(8, len(out)))
			}
			out = append(out, twins{o.rec, d.rec})
			break
		}
		w.in = append(w.in, amount{d, much})
	}
	return out
}

// byWall is events by the wall clocks of the devices that wrote them: what
// happened within minutes is told by those, not by the order of the record.
func byWall(ds []*deed) []*deed {
	earlier := func(a, b *deed) int { return cmp.Compare(a.at, b.at) }
	if slices.IsSortedFunc(ds, earlier) {
		return ds
	}
	ds = slices.Clone(ds)
	slices.SortStableFunc(ds, earlier)
	return ds
}

// twins are two entries that look like one thing written twice.
type twins [2]*rec

// amount is a fill or a drain with what it came to.
type amount struct {
	deed *deed
	much int64
}

// window is the fills, or drains, of one kind that are near in time.
type window struct {
	in  []amount
	old int // of them that lie too far back
}

// until leaves out what lies too far back.
func (w *window) until(now int64) []amount {
	for w.old < len(w.in) && now-w.in[w.old].deed.at > nearInTime {
		w.old++
	}
	if w.old > len(w.in)/2 {
		w.in, w.old = append(w.in[:0], w.in[w.old:]...), 0
	}
	return w.in[w.old:]
}

func near(a, b int64) bool {
	return (max(a, b)-min(a, b))*100 <= max(a, b)*likeAmount
}
