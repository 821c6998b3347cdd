package crew

import (
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
)

// Crew is who belongs to the farm, and what the fold needs to judge entries.
type Crew struct {
	rule.Rules
	founded    *order.Rec                // the farm's first entry, where it fits the farm's ID
	CrewRecs   []*order.Rec              // the entries about the crew, whether they count or not, as they came
	Others     []*order.Rec              // the entries that people wrote on others' devices
	Membership *Membership               // who belongs, by CrewRecs as they were when it was worked out
	Stale      bool                      // more of them have come since: no other entry is judged before it is worked out anew
	Ever       everIn                    // who was ever let in, by all of them
	chosen     map[*order.Rec]roleChoice // by settlements
	posts      []*Post                   // by Log.Nr, as they were last judged; nil where the record has no first entry of one
}

// Post is how the device of a log belongs, as it was last judged; nil where the
// record has no first entry of it.
func (s *Crew) Post(d *order.Log) *Post {
	if d.Nr < len(s.posts) {
		return s.posts[d.Nr]
	}
	return nil
}

// SetPost notes how the device of a log belongs.
func (s *Crew) SetPost(d *order.Log, p *Post) {
	for len(s.posts) <= d.Nr {
		s.posts = append(s.posts, nil)
	}
	s.posts[d.Nr] = p
}

// Follows gives a branch the post of the log that it leaves.
func (s *Crew) Follows(d *order.Log) {
	if d.Base > 0 {
		s.SetPost(d, s.Post(d.Root))
	}
}

// Enrol notes what a device's first entry says of it.
func (s *Crew) Enrol(r *order.Rec) {
	d := r.Log
	switch b := r.Body.(type) {
	case *entry.FarmFounded:
		d.Key, d.Name = b.Key, b.DeviceName
		if entry.FoundedBy(d.Signs(), b.Key, b.Paper) == s.FarmID && (s.founded == nil || r.Compare(s.founded) < 0) {
			s.founded = r
		}
	case *entry.DeviceEnrolled:
		d.Key, d.Name = b.Key, b.Name
	case *entry.Recovered:
		d.Key, d.Name = b.Key, b.Name
	}
}

// AboutCrew says whether an entry bears on who belongs to the farm.
func (s *Crew) AboutCrew(r *order.Rec) bool {
	if _, unknown := r.Body.(*entry.Unknown); unknown {
		return false
	}
	if _, ok := r.Body.(*entry.Settled); ok {
		_, role := s.roleSettled(r)
		return role != entry.NoRole
	}
	return rule.AboutCrew(r.Body.Kind())
}

// RightsOf is how many entries about rights a device's log has here, on all its
// branches, those that wait too.
func (s *Crew) RightsOf(id entry.DeviceID) (n uint64) {
	for _, r := range s.CrewRecs {
		if r.Log.Signs() == id && rule.AboutCrew(r.Body.Kind()) {
			n++
		}
	}
	for _, d := range s.Logs {
		if d.Signs() != id {
			continue
		}
		for i := range d.Wait {
			if rule.AboutCrew(d.Wait[i].Body.Kind()) {
				n++
			}
		}
	}
	return n
}

// Applied is how far each log of a device that belongs, or belonged, has taken
// effect, causes and all: what a writer here may say that it has seen.
func (s *Crew) Applied() chain.Frontier {
	f := make(chain.Frontier, 0, len(s.Logs))
	for _, d := range s.Logs {
		if n := len(d.Recs); n > 0 && d.Joined {
			f = append(f, d.Recs[n-1].Mark())
		}
	}
	slices.SortFunc(f, func(a, b chain.Mark) int { return a.Log.Compare(b.Log) })
	return f
}
