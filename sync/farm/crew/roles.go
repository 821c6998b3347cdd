package crew

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
)

// settlesCrew says whether a body decides who belongs to the farm, or what
// somebody may do there: that is an owner's, and is not struck.
func (s *Crew) settlesCrew(b entry.Body) bool {
	st, ok := b.(*entry.Settled)
	if !ok || st.Doubt != string(conflict.TwoPlans) && st.Doubt != string(conflict.OneInvite) {
		return false
	}
	return slices.ContainsFunc(st.Entries, func(id entry.ID) bool {
		r := s.Find(id)
		return r != nil && rule.AboutCrew(r.Body.Kind())
	})
}

// roleChoice is a role that a settlement chose for a person.
type roleChoice struct {
	who  entry.ID
	role entry.Role
}

// ChooseRole notes the role that a settlement chose for a person, of two or more
// that entries gave. That never changes, since its writer knew them; and it is
// worked out once, since settlements may name settlements, that name others.
func (s *Crew) ChooseRole(r *order.Rec, b *entry.Settled) {
	if b.Doubt != string(conflict.TwoPlans) || !conflict.Says(b) {
		return
	}
	var given []entry.ID
	var c roleChoice
	for _, id := range b.Entries {
		of := s.Find(id)
		if of == nil || !r.Knew(of) || slices.Contains(given, id) {
			continue
		}
		w, got := s.gives(of)
		if got == entry.NoRole || !c.who.IsZero() && w != c.who {
			continue
		}
		given, c.who = append(given, id), w
		if id == b.Stands[0] {
			c.role = got
		}
	}
	if len(given) < 2 || c.role == entry.NoRole {
		return
	}
	if s.chosen == nil {
		s.chosen = map[*order.Rec]roleChoice{}
	}
	s.chosen[r] = c
}

// roleSettled is the role that a settlement chose for a person; NoRole where it
// chose none.
func (s *Crew) roleSettled(r *order.Rec) (who entry.ID, role entry.Role) {
	c := s.chosen[r]
	return c.who, c.role
}

// gives is the role that an entry gives a person.
func (s *Crew) gives(r *order.Rec) (entry.ID, entry.Role) {
	switch b := r.Body.(type) {
	case *entry.MemberAdded:
		return r.ID(), b.Role
	case *entry.MemberChanged:
		return b.Member, b.Role
	case *entry.Settled:
		return s.roleSettled(r)
	}
	return entry.ID{}, entry.NoRole
}
