package farm

import "turnrow/sync/entry"

// judge says whether an entry counts, by who belongs to the farm: as far as its
// writer had seen, and by what stands against it apart from that. A person acts
// with no more right than the device has, whoever's it is.
func (s *crewSt) judge(r *rec) leftOut {
	p := s.post(r.dev)
	if p == nil || !p.joined() {
		return notJoined
	}
	if r.dev.root != nil && binds(r.body) {
		return hasNoForce
	}
	role, stopped := p.role(r)
	does := s.stand.does[r]
	if stopped && !does {
		return afterStop
	}
	switch r.body.(type) {
	case *entry.Unknown:
		return notKnown
	case *entry.FarmFounded, *entry.DeviceEnrolled, *entry.Recovered:
		return s.judgeFirst(r, stopped)
	}
	if s.aboutCrew(r) {
		return s.stand.left(r)
	}
	switch role = s.lesser(r, role); {
	case role < s.needed(r):
		return noRight
	case !s.hasForce(r) || !s.fits(r.body):
		return hasNoForce
	}
	return counts
}

// judgeFirst says whether an entry that begins a log counts. A log begins once;
// that the farm was founded counts whatever became of the device.
func (s *crewSt) judgeFirst(r *rec, stopped bool) leftOut {
	_, founds := r.body.(*entry.FarmFounded)
	founds = founds && s.stand.does[r]
	_, recovers := r.body.(*entry.Recovered)
	switch {
	case r.seq > 1 || recovers && !s.stand.does[r]:
		return hasNoForce
	case stopped && !founds:
		return afterStop
	}
	return counts
}

// lesser is the device's role, or the writer's own where that is less.
func (s *crewSt) lesser(r *rec, role entry.Role) entry.Role {
	if r.byOther() {
		return min(role, s.stand.personRole(r))
	}
	return role
}

// roleOf is what an entry may do.
func (s *crewSt) roleOf(r *rec) entry.Role {
	p := s.post(r.dev)
	if p == nil {
		return entry.NoRole
	}
	role, _ := p.role(r)
	return s.lesser(r, role)
}

// byOther says whether another than the device's own person wrote an entry.
func (r *rec) byOther() bool { return !r.own && (r.by == nil || r.by != r.dev.person) }

// binds says whether a body is a signature, or the release of a hold: what a
// forked log says of these cannot be trusted.
func binds(b entry.Body) bool {
	switch b.(type) {
	case *entry.ItemSigned, *entry.HoldReleased:
		return true
	}
	return false
}

// needed is the role that an entry asks for: to change somebody else's words
// asks for more than to change one's own.
func (s *crewSt) needed(r *rec) entry.Role {
	need := needs(r.body.Kind())
	if s.settlesCrew(r.body) {
		return entry.Owner
	}
	if s.ownSlip(r) {
		return entry.Helper
	}
	target, _ := edited(r.body)
	if target.IsZero() {
		return need
	}
	of := s.find(target)
	if of == nil || of.by != r.by {
		return entry.Operator
	}
	return max(need, needs(of.body.Kind()))
}

// settle judges an entry whose place is found, and lets it take effect where it
// counts. Those about the crew are judged together with others that come with
// them.
func (s *factSt) settle(r *rec, by entry.ID) {
	if r.seq == 1 {
		s.enrol(r)
	}
	r.by, r.own = r.dev.person, by.IsZero()
	if !r.own {
		r.by = nil
		if s.is(by, person) {
			r.by = s.personOf(by)
		} else {
			s.nobody[r] = by
		}
		s.others = append(s.others, r)
	}
	if b, ok := r.body.(*entry.Settled); ok {
		s.chooseRole(r, b)
	}
	if s.aboutCrew(r) {
		s.crewRecs = append(s.crewRecs, r)
		s.ever.lets(&s.crewSt, r)
		s.stale = true
		r.left = notJoined
		s.outside = append(s.outside, r)
		return
	}
	s.judgeAndPut(r)
	if s.rejoin && s.rejoined() {
		s.rebuild()
	}
}

// judgeAndPut judges an entry and lets it take effect where it counts.
func (s *factSt) judgeAndPut(r *rec) {
	if r.left = s.judge(r); r.left != counts {
		s.outside = append(s.outside, r)
	}
	s.refresh(r)
	s.heard(r)
}

// heard has a hold heard: whoever says stop is, with right or without.
func (s *factSt) heard(r *rec) {
	if h, ok := r.body.(*entry.HoldRaised); ok {
		s.drillOf(h.Drill).hitch.put(r)
	}
}
