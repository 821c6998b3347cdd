package work

import (
	"slices"

	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
)

// holdSeen is who has seen a hold, each person as they first said so. Whoever
// raised it knows of it, and a copy of a device may not say that its person
// looked.
func (s *Work) holdSeen(h *Hold) (seen []HoldSeen) {
	for _, r := range s.SeenHold(h.Entry) {
		who := order.PersonID(r)
		if who == h.By || r.Log.Root != nil {
			continue
		}
		if !slices.ContainsFunc(seen, func(o HoldSeen) bool { return o.Person == who }) {
			seen = append(seen, HoldSeen{who, crew.OnWhose(r), r.Wall, r.ID()})
		}
	}
	return seen
}
