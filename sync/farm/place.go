package farm

import (
	"cmp"

	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// place is where an entry stands in the total order. It is worked out from the
// record alone. What its writer had seen comes first, always; clocks only order
// what was written apart. An entry whose clock stands well before what its
// writer had seen begins a new round, in which clocks count again: so a clock
// that is far ahead disturbs only what was written apart from it, and nothing
// is ever used up.
type place struct {
	round uint32
	time  hlc.Time
}

// drift is how far an entry's clock may stand before what its writer had seen
// and still be taken for the same time: an hour.
const drift = hlc.Hour

func (p place) compare(o place) int {
	return cmp.Or(cmp.Compare(p.round, o.round), cmp.Compare(p.time, o.time))
}

// placeOf is the place of an entry after the greatest of its log's last entry
// and those that it newly names.
func (s *orderSt) placeOf(r *rec, seen []entry.Mark) place {
	var last place
	if r.seq > 1 {
		last = r.dev.at(r.seq - 1).place
	}
	for _, m := range seen {
		if p := s.find(m.ID()).place; p.compare(last) > 0 {
			last = p
		}
	}
	return last.next(r.clock)
}

// next is the place of an entry with a clock after p.
func (p place) next(clock hlc.Time) place {
	switch {
	case clock > p.time:
		return place{p.round, clock}
	case p.time-clock <= drift && p.time != ^hlc.Time(0):
		return place{p.round, p.time + 1}
	}
	return place{p.round + 1, clock}
}
