package fact

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
)

// see keeps that somebody saw holds, each by itself. What is no hold, or one that
// the writer did not know, was not seen.
func (s *Facts) see(r *order.Rec, b *entry.HoldSeen, on bool) {
	ids := slices.Clone(b.Holds)
	slices.SortFunc(ids, entry.ID.Compare)
	for _, id := range slices.Compact(ids) {
		hold := s.Find(id)
		if hold == nil || !r.Knew(hold) || hold.Body.Kind() != entry.KindHoldRaised {
			continue
		}
		if s.seen[id] == nil {
			s.seen[id] = new(order.Ordered[*order.Rec])
		}
		thing.InSet(s.seen[id], r, on)
	}
}

// SeenHold is who says to have seen a hold, in the total order.
func (s *Facts) SeenHold(hold entry.ID) []*order.Rec {
	if of := s.seen[hold]; of != nil {
		return of.All()
	}
	return nil
}
