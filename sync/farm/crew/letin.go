package crew

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
)

// LetIn are the devices that were let in, in the order in which their logs can
// be checked from nothing: the founding one first, then those of codes on paper,
// then each after whoever let it in.
func (s *Crew) LetIn() []entry.DeviceID {
	if s.Membership == nil {
		return nil // nothing is here yet
	}
	var in []*Post
	for _, p := range s.Membership.Order {
		if p.Joined() && len(p.Firsts) > 0 {
			in = append(in, p)
		}
	}
	slices.SortStableFunc(in, func(a, b *Post) int {
		return cmp.Or(cmp.Compare(a.entrance(), b.entrance()), a.Grants[0].By.Compare(b.Grants[0].By))
	})
	ids := make([]entry.DeviceID, len(in))
	for i, p := range in {
		ids[i] = p.dev.ID.Device()
	}
	return ids
}

// entrance is by what way a device came in: 0 is founding, 1 a code on paper, 2
// an admission.
func (p *Post) entrance() int {
	switch p.Grants[0].By.Body.(type) {
	case *entry.FarmFounded:
		return 0
	case *entry.Recovered:
		return 1
	}
	return 2
}

// Lets gives the entries by which a device's log says whom to let in, of whom
// nothing is here yet: what comes of them later would count.
func (s *Crew) Lets(id entry.DeviceID) (unseen []entry.DeviceID) {
	for _, r := range s.CrewRecs {
		b, ok := r.Body.(*entry.Admitted)
		if !ok || b.Refused || r.Left != order.Counts || r.Log.Signs() != id {
			continue
		}
		if d := s.Known(b.Device.Log()); (d == nil || len(d.Recs) == 0) && !slices.Contains(unseen, b.Device) {
			unseen = append(unseen, b.Device)
		}
	}
	return unseen
}
