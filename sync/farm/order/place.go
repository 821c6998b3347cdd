package order

import (
	"cmp"

	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// Place is where an entry stands in the total order. It is worked out from the
// record alone. What its writer had seen comes first, always; clocks only order
// what is concurrent. An entry whose clock stands well before what its
// writer had seen begins a new round, in which clocks count again: so a clock
// that is far ahead disturbs only what is concurrent with it, and nothing
// is ever used up.
type Place struct {
	Round uint32
	Time  hlc.Time
}

// drift is how far an entry's clock may stand before what its writer had seen
// and still be taken for the same time: an hour.
const drift = hlc.Hour

func (p Place) compare(o Place) int {
	return cmp.Or(cmp.Compare(p.Round, o.Round), cmp.Compare(p.Time, o.Time))
}

// PlaceOf is the place of an entry after the greatest of its log's last entry
// and those that it newly names.
func (s *Order) PlaceOf(r *Rec, seen []entry.Mark) Place {
	var last Place
	if r.Seq > 1 {
		last = r.Log.At(r.Seq - 1).Place
	}
	for _, m := range seen {
		if p := s.Find(m.ID()).Place; p.compare(last) > 0 {
			last = p
		}
	}
	return last.next(r.Clock)
}

// next is the place of an entry with a clock after p.
func (p Place) next(clock hlc.Time) Place {
	switch {
	case clock > p.Time:
		return Place{p.Round, clock}
	case p.Time-clock <= drift && p.Time != ^hlc.Time(0):
		return Place{p.Round, p.Time + 1}
	}
	return Place{p.Round + 1, clock}
}
