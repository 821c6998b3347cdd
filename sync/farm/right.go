package farm

import "turnrow/sync/entry"

// needs is the weakest role that may write each kind. A hold may be raised by
// anyone; an enrolment is judged by its invite.
func needs(k entry.Kind) entry.Role {
	switch k {
	case entry.KindHoldRaised, entry.KindDeviceEnrolled:
		return entry.NoRole
	case entry.KindFilled, entry.KindDrained, entry.KindLevelRead, entry.KindMeterRead, entry.KindBagsIn,
		entry.KindBagsOut, entry.KindNoted, entry.KindStandCounted, entry.KindCaught, entry.KindAmended, entry.KindStruck,
		entry.KindCounterStood, entry.KindGroundFinished, entry.KindVolumeWeighed, entry.KindVolumeFilled:
		return entry.Helper
	case entry.KindFarmFounded, entry.KindInvited, entry.KindMemberAdded, entry.KindMemberChanged,
		entry.KindMemberStopped, entry.KindDeviceStopped, entry.KindDeviceTakenIn:
		return entry.Owner
	}
	return entry.Operator
}

// judge says whether an entry counts. The right to write it is judged by what
// its writer had seen, so that it does not change with what arrives later. A
// person acts with no more right than the person of the device has.
func (s *State) judge(r *rec) leftOut {
	d := r.dev
	if !d.joined {
		return notJoined
	}
	if r.seq > d.limit {
		return afterStop
	}
	if _, unknown := r.body.(*entry.Unknown); unknown {
		return notKnown
	}
	if r == s.founded {
		return counts
	}
	switch r.body.(type) {
	case *entry.FarmFounded, *entry.DeviceEnrolled:
		if r.seq > 1 {
			return hasNoForce // a log begins once
		}
	}
	role := d.person.roleKnown(r)
	if r.by != d.person {
		role = min(role, r.by.roleKnown(r))
	}
	if role < s.needed(r) {
		return noRight
	}
	if !s.hasForce(r) || !s.fits(r.body) {
		return hasNoForce
	}
	return counts
}

// needed is the role that an entry asks for: to change somebody else's words
// asks for more than to change one's own.
func (s *State) needed(r *rec) entry.Role {
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

// place judges an entry whose place is found and lets it take effect.
func (s *State) place(r *rec, by entry.ID) {
	if r.seq == 1 {
		s.enrol(r)
	}
	r.by, r.own = r.dev.person, by.IsZero()
	if !r.own {
		r.by = nil
		if s.is(by, person) {
			r.by = s.thing(by, person)
		} else {
			s.nobody[r] = by
		}
	}
	if s.aboutCrew(r) {
		s.crewRecs.put(r)
		s.crewCome = append(s.crewCome, r)
		if s.unsettled(r) && s.restand(r) {
			return
		}
	}
	s.judgeAndPut(r)
	if s.rejoin && s.rejoined() {
		s.rebuild(s.stand())
	}
}

// judgeAndPut judges an entry and lets it take effect where it counts.
func (s *State) judgeAndPut(r *rec) {
	if r.left = s.judge(r); r.left != counts {
		s.outside = append(s.outside, r)
	}
	s.refresh(r)
	if h, ok := r.body.(*entry.HoldRaised); ok && r.left != counts {
		// Whoever says stop is heard, with right or without.
		s.drillOf(h.Drill).hitch.put(r)
	}
}
