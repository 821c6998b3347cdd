package naive

import "turnrow/sync/entry"

// kind is what this fold holds of one kind of entry, by reasoning of its own.
type kind struct {
	needs entry.Role // the weakest that may write it; NoRole is anyone
	crew  bool       // it says who belongs or what somebody may do
	refs  func(entry.Body) []reference
}

// kinds has a row for each kind; a test fails without.
var kinds = map[entry.Kind]kind{
	entry.KindFilled: {entry.Helper, false, naming(func(b *entry.Filled) []reference {
		return []reference{{&b.Box, "box"}, {&b.Lot, "lot"}}
	})},
	entry.KindVolumeFilled: {entry.Helper, false, naming(func(b *entry.VolumeFilled) []reference {
		return []reference{{&b.Box, "box"}, {&b.Lot, "lot"}}
	})},
	entry.KindDrained:   {entry.Helper, false, naming(func(b *entry.Drained) []reference { return only(&b.Box, "box") })},
	entry.KindLevelRead: {entry.Helper, false, naming(func(b *entry.LevelRead) []reference { return only(&b.Box, "box") })},
	entry.KindCaught: {entry.Helper, false, naming(func(b *entry.Caught) []reference {
		return []reference{{&b.Box, "box"}, {&b.Lot, "lot"}}
	})},
	entry.KindDialMoved: {entry.Operator, false, naming(func(b *entry.DialMoved) []reference { return only(&b.Box, "box") })},
	entry.KindMeterRead: {entry.Helper, false, naming(func(b *entry.MeterRead) []reference {
		return []reference{{&b.Drill, "drill"}, {&b.Ground, "ground"}}
	})},
	entry.KindCounterReset: {entry.Operator, false, naming(func(b *entry.CounterReset) []reference { return only(&b.Drill, "drill") })},
	entry.KindCounterStood: {entry.Helper, false, naming(func(b *entry.CounterStood) []reference {
		return []reference{{&b.Drill, "drill"}, {&b.Ground, "ground"}}
	})},
	entry.KindGroundFinished: {entry.Helper, false, naming(func(b *entry.GroundFinished) []reference {
		return []reference{{&b.Drill, "drill"}, {&b.Ground, "ground"}}
	})},
	entry.KindStandCounted: {entry.Helper, false, naming(func(b *entry.StandCounted) []reference { return only(&b.Ground, "ground") })},
	entry.KindBagsIn:       {entry.Helper, false, naming(func(b *entry.BagsIn) []reference { return only(&b.Lot, "lot") })},
	entry.KindBagsOut:      {entry.Helper, false, naming(func(b *entry.BagsOut) []reference { return only(&b.Lot, "lot") })},
	entry.KindNoted:        {entry.Helper, false, nil},

	entry.KindGroundSet: {entry.Operator, false, naming(func(b *entry.GroundSet) []reference { return only(&b.Ground, "ground") })},
	entry.KindDrillSet:  {entry.Operator, false, naming(func(b *entry.DrillSet) []reference { return only(&b.Drill, "drill") })},
	entry.KindBoxSet: {entry.Operator, false, naming(func(b *entry.BoxSet) []reference {
		return []reference{{&b.Box, "box"}, {&b.Drill, "drill"}}
	})},
	entry.KindLotSet:        {entry.Operator, false, naming(func(b *entry.LotSet) []reference { return only(&b.Lot, "lot") })},
	entry.KindLabelSet:      {entry.Operator, false, naming(func(b *entry.LabelSet) []reference { return only(&b.Lot, "lot") })},
	entry.KindVolumeWeighed: {entry.Helper, false, naming(func(b *entry.VolumeWeighed) []reference { return only(&b.Lot, "lot") })},
	entry.KindDialMarked:    {entry.Operator, false, naming(func(b *entry.DialMarked) []reference { return only(&b.Box, "box") })},
	entry.KindChartPointSet: {entry.Operator, false, naming(func(b *entry.ChartPointSet) []reference { return only(&b.Box, "box") })},
	entry.KindPlanSet:       {entry.Operator, false, naming(refsOfPlan)},

	entry.KindPinned: {entry.Helper, false, naming(func(b *entry.Pinned) []reference {
		return []reference{{&b.Of, "spot"}, {&b.Ground, "ground"}}
	})},
	entry.KindErrand: {entry.Helper, false, naming(func(b *entry.Errand) []reference {
		return []reference{{&b.Of, "errand"}, {&b.Lot, "lot"}, {&b.Box, "box"}}
	})},

	// A hold and a signature count whatever they name.
	entry.KindChecksSet:    {entry.Operator, false, nil},
	entry.KindItemSigned:   {entry.Operator, false, nil},
	entry.KindHoldRaised:   {entry.NoRole, false, nil},
	entry.KindHoldSeen:     {entry.Viewer, false, nil},
	entry.KindHitchBegun:   {entry.Operator, false, naming(func(b *entry.HitchBegun) []reference { return only(&b.Drill, "drill") })},
	entry.KindHoldReleased: {entry.Operator, false, naming(func(b *entry.HoldReleased) []reference { return only(&b.Drill, "drill") })},
	entry.KindUnhitched:    {entry.Operator, false, naming(func(b *entry.Unhitched) []reference { return only(&b.Drill, "drill") })},
	entry.KindDrillMoved:   {entry.Operator, false, naming(func(b *entry.DrillMoved) []reference { return only(&b.Drill, "drill") })},

	entry.KindAmended: {entry.Helper, false, nil},
	entry.KindStruck:  {entry.Helper, false, nil},
	entry.KindSettled: {entry.Operator, false, nil},

	entry.KindFarmFounded:    {entry.Owner, true, nil},
	entry.KindRecovered:      {entry.Owner, true, nil},
	entry.KindDeviceEnrolled: {entry.Owner, true, nil},
	entry.KindInvited:        {entry.Owner, true, naming(func(b *entry.Invited) []reference { return only(&b.Person, "person") })},
	entry.KindAdmitted:       {entry.Owner, true, naming(func(b *entry.Admitted) []reference { return only(&b.Person, "person") })},
	entry.KindMemberAdded:    {entry.Owner, true, nil},
	entry.KindMemberChanged:  {entry.Owner, true, naming(func(b *entry.MemberChanged) []reference { return only(&b.Member, "person") })},
	entry.KindMemberStopped:  {entry.Owner, true, naming(func(b *entry.MemberStopped) []reference { return only(&b.Member, "person") })},
	entry.KindDeviceStopped:  {entry.Owner, true, nil},
	entry.KindDeviceTakenIn:  {entry.Owner, true, nil},
}

func only(id *entry.ID, kind string) []reference { return []reference{{id, kind}} }

func naming[B entry.Body](refs func(B) []reference) func(entry.Body) []reference {
	return func(b entry.Body) []reference { return refs(b.(B)) }
}

func refsOfPlan(b *entry.PlanSet) []reference {
	out := only(&b.Ground, "ground")
	for i := range b.Components {
		out = append(out, reference{&b.Components[i].Lot, "lot"}, reference{&b.Components[i].Box, "box"})
	}
	return out
}

// kindOf is a body's row. What only a later version can read is an operator's.
func kindOf(b entry.Body) kind {
	if _, unknown := b.(*entry.Unknown); unknown {
		return kind{needs: entry.Operator}
	}
	return kinds[b.Kind()]
}

// refs are the places in a body that name things which must be of a kind.
func refs(b entry.Body) []reference {
	if k := kindOf(b); k.refs != nil {
		return k.refs(b)
	}
	return nil
}

func kindNeeds(b entry.Body) entry.Role { return kindOf(b).needs }

func aboutCrew(b entry.Body) bool { return kindOf(b).crew }
