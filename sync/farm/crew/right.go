package crew

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
)

// Judge says whether an entry counts, by who belongs to the farm: as far as its
// writer had seen, and by what concurrent entries say against it. A person acts
// with no more right than the device has, whoever's it is.
func (s *Crew) Judge(r *order.Rec) order.LeftOut {
	p := s.Post(r.Log)
	if p == nil || !p.Joined() {
		return order.NotJoined
	}
	if r.Log.Root != nil && binds(r.Body) {
		return order.HasNoForce
	}
	role, stopped := p.role(r)
	does := s.Membership.does[r]
	if stopped && !does {
		return order.AfterStop
	}
	switch r.Body.(type) {
	case *entry.Unknown:
		return order.NotKnown
	case *entry.FarmFounded, *entry.DeviceEnrolled, *entry.Recovered:
		return s.judgeFirst(r, stopped)
	}
	if s.AboutCrew(r) {
		return s.Membership.left(r)
	}
	switch role = s.lesser(r, role); {
	case role < s.Needed(r):
		return order.NoRight
	case !s.hasForce(r) || !s.Fits(r.Body):
		return order.HasNoForce
	}
	return order.Counts
}

// judgeFirst says whether an entry that begins a log counts. A log begins once;
// that the farm was founded counts whatever became of the device.
func (s *Crew) judgeFirst(r *order.Rec, stopped bool) order.LeftOut {
	_, founds := r.Body.(*entry.FarmFounded)
	founds = founds && s.Membership.does[r]
	_, recovers := r.Body.(*entry.Recovered)
	switch {
	case r.Seq > 1 || recovers && !s.Membership.does[r]:
		return order.HasNoForce
	case stopped && !founds:
		return order.AfterStop
	}
	return order.Counts
}

// lesser is the device's role, or the writer's own where that is less.
func (s *Crew) lesser(r *order.Rec, role entry.Role) entry.Role {
	if r.ByOther() {
		return min(role, s.Membership.personRole(r))
	}
	return role
}

// RoleOf is what an entry may do.
func (s *Crew) RoleOf(r *order.Rec) entry.Role {
	p := s.Post(r.Log)
	if p == nil {
		return entry.NoRole
	}
	role, _ := p.role(r)
	return s.lesser(r, role)
}

// binds says whether a body is a signature, or the release of a hold: what a
// forked log says of these cannot be trusted.
func binds(b entry.Body) bool {
	switch b.(type) {
	case *entry.ItemSigned, *entry.HoldReleased:
		return true
	}
	return false
}

// Needed is the role that an entry asks for: to change somebody else's words
// asks for more than to change one's own.
func (s *Crew) Needed(r *order.Rec) entry.Role {
	need := rule.Needs(r.Body.Kind())
	if s.settlesCrew(r.Body) {
		return entry.Owner
	}
	if s.ownSlip(r) {
		return entry.Helper
	}
	target, _ := Edited(r.Body)
	if target.IsZero() {
		return need
	}
	of := s.Find(target)
	if of == nil || of.By != r.By {
		return entry.Operator
	}
	return max(need, rule.Needs(of.Body.Kind()))
}

// Edited is the entry that an amendment or a strike is about.
func Edited(b entry.Body) (target entry.ID, body entry.Body) {
	switch b := b.(type) {
	case *entry.Amended:
		return b.Entry, b.Body
	case *entry.Struck:
		return b.Entry, nil
	}
	return entry.ID{}, nil
}

// hasForce says whether an amendment or a strike may do what it asks. What
// keeps people safe, and who belongs to the farm, is never edited away: a hold
// is released, a hitch ended, a member stopped, each by an entry of its own.
func (s *Crew) hasForce(r *order.Rec) bool {
	target, body := Edited(r.Body)
	if target.IsZero() {
		return true
	}
	of := s.Find(target)
	if of == nil || of.Left == order.NotKnown {
		return false
	}
	k := of.Body.Kind()
	if body == nil {
		return rule.Strikable(k) && !s.settlesCrew(of.Body)
	}
	// A thing is the entry that made it: other words go on making it, or none.
	was, made := rule.Makes(of.Body)
	will, making := rule.Makes(body)
	return body.Kind() == k && rule.Amendable(k) && made == making && was == will && s.Fits(body)
}

// ownSlip says whether an entry settles slips of its own writer alone: whoever
// may write a thing may say that it is as written.
func (s *Crew) ownSlip(r *order.Rec) bool {
	b, ok := r.Body.(*entry.Settled)
	return ok && conflict.IsAnswer(b) && !slices.ContainsFunc(b.Entries, func(id entry.ID) bool {
		of := s.Find(id)
		return of == nil || !r.Knew(of) || of.By != r.By
	})
}
