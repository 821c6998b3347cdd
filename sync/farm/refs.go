package farm

import "turnrow/sync/entry"

// makes is the kind of thing that a body makes, if it makes one.
func makes(b entry.Body) (thingKind, bool) {
	switch b := b.(type) {
	case *entry.FarmFounded, *entry.MemberAdded:
		return person, true
	case *entry.GroundSet:
		return ground, b.Ground.IsZero()
	case *entry.DrillSet:
		return drill, b.Drill.IsZero()
	case *entry.BoxSet:
		return box, b.Box.IsZero()
	case *entry.LotSet:
		return lot, b.Lot.IsZero()
	}
	return 0, false
}

// is says whether an ID names a thing of a kind. It goes by the entry that
// made the thing, and so is the same on every replica.
func (s *State) is(id entry.ID, k thingKind) bool {
	r := s.find(id)
	if r == nil {
		return false
	}
	made, ok := makes(r.body)
	return ok && made == k
}

// fits says whether the things that a body refers to are what it takes them
// for. References that are left out fit.
func (s *State) fits(b entry.Body) bool {
	ok := true
	want := func(id entry.ID, k thingKind) { ok = ok && (id.IsZero() || s.is(id, k)) }
	switch b := b.(type) {
	case *entry.Filled:
		want(b.Box, box)
		want(b.Lot, lot)
	case *entry.Drained:
		want(b.Box, box)
	case *entry.LevelRead:
		want(b.Box, box)
	case *entry.Caught:
		want(b.Box, box)
		want(b.Lot, lot)
	case *entry.DialMoved:
		want(b.Box, box)
	case *entry.VolumeFilled:
		want(b.Box, box)
		want(b.Lot, lot)
	case *entry.MeterRead:
		want(b.Drill, drill)
		want(b.Ground, ground)
	case *entry.CounterStood:
		want(b.Drill, drill)
		want(b.Ground, ground)
	case *entry.GroundFinished:
		want(b.Drill, drill)
		want(b.Ground, ground)
	case *entry.CounterReset:
		want(b.Drill, drill)
	case *entry.StandCounted:
		want(b.Ground, ground)
	case *entry.BagsIn:
		want(b.Lot, lot)
	case *entry.BagsOut:
		want(b.Lot, lot)
	default:
		s.fitsSetup(b, want)
	}
	return ok
}

func (s *State) fitsSetup(b entry.Body, want func(entry.ID, thingKind)) {
	switch b := b.(type) {
	case *entry.GroundSet:
		want(b.Ground, ground)
	case *entry.DrillSet:
		want(b.Drill, drill)
	case *entry.BoxSet:
		want(b.Box, box)
		want(b.Drill, drill)
	case *entry.LotSet:
		want(b.Lot, lot)
	case *entry.LabelSet:
		want(b.Lot, lot)
	case *entry.VolumeWeighed:
		want(b.Lot, lot)
	case *entry.DialMarked:
		want(b.Box, box)
	case *entry.ChartPointSet:
		want(b.Box, box)
	case *entry.PlanSet:
		want(b.Ground, ground)
		for _, c := range b.Components {
			want(c.Lot, lot)
			want(c.Box, box)
		}
	case *entry.MemberChanged:
		want(b.Member, person)
	case *entry.MemberStopped:
		want(b.Member, person)
	case *entry.Invited:
		want(b.Person, person)
	case *entry.HitchBegun:
		want(b.Drill, drill)
	case *entry.HoldReleased:
		want(b.Drill, drill)
	case *entry.Unhitched:
		want(b.Drill, drill)
	case *entry.DrillMoved:
		want(b.Drill, drill)
	}
}
