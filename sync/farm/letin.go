package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
)

// LetIn are the devices that were let in, in the order in which their logs can
// be checked from nothing: the founding one first, then those of codes on paper,
// then each after whoever let it in.
func (s *crewSt) LetIn() []entry.DeviceID {
	if s.stand == nil {
		return nil // nothing is here yet
	}
	var in []*post
	for _, p := range s.stand.order {
		if p.joined() && len(p.firsts) > 0 {
			in = append(in, p)
		}
	}
	slices.SortStableFunc(in, func(a, b *post) int {
		return cmp.Or(cmp.Compare(a.entrance(), b.entrance()), a.grants[0].by.compare(b.grants[0].by))
	})
	ids := make([]entry.DeviceID, len(in))
	for i, p := range in {
		ids[i] = p.dev.id
	}
	return ids
}

// entrance is by what way a device came in: 0 is founding, 1 a code on paper, 2
// an admission.
func (p *post) entrance() int {
	switch p.grants[0].by.body.(type) {
	case *entry.FarmFounded:
		return 0
	case *entry.Recovered:
		return 1
	}
	return 2
}

// Lets gives the entries by which a device's log says whom to let in, of whom
// nothing is here yet: what comes of them later would count.
func (s *crewSt) Lets(id entry.DeviceID) (unseen []entry.DeviceID) {
	for _, r := range s.crewRecs {
		b, ok := r.body.(*entry.Admitted)
		if !ok || b.Refused || r.left != counts || r.dev.signs() != id {
			continue
		}
		if d := s.known(b.Device); (d == nil || len(d.recs) == 0) && !slices.Contains(unseen, b.Device) {
			unseen = append(unseen, b.Device)
		}
	}
	return unseen
}

// Trial is a state as it would be if a writer went on.
type Trial struct {
	state *State
	by    Writer
}

// Trial tries what a writer would write: on a copy, the state stays as it is.
func (s *State) Trial(by Writer) *Trial { return &Trial{s.Copy(), by} }

// Write adds an entry, written in the knowledge of all that is here, and gives
// the number that it would have.
func (t *Trial) Write(b entry.Body) entry.ID {
	return entry.ID{Device: t.by.Device, Seq: t.state.draft(t.by, []entry.Body{b})}
}

// State is how it stands with what was tried.
func (t *Trial) State() *State { return t.state }
