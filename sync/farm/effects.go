package farm

import (
	"strings"

	"turnrow/sync/entry"
)

// effect lets an entry take effect as a body says, or takes that back.
type effect func(s *factSt, r *rec, b entry.Body, on bool)

// effects has a row for each kind, by its number: what an entry of it does. Tests
// fail without a row. It is filled in init, since what some entries do is to
// have others do what their rows say, and no table may be made of what reads it.
var effects [entry.LastKind + 1]effect

func init() { effects = rowsOfEffects }

var rowsOfEffects = [...]effect{
	entry.KindFilled:    (*factSt).boxEvent,
	entry.KindMeterRead: does(onThing(drill, func(b *entry.MeterRead) entry.ID { return b.Drill })),
	entry.KindDialMoved: does(func(s *factSt, r *rec, b *entry.DialMoved, on bool) {
		s.boxEvent(r, b, on)
		s.thing(b.Box, box).set(r, field{num: fieldDial, n: b.Side}, value{n: int64(b.To)}, on)
	}),
	entry.KindCaught:       (*factSt).boxEvent,
	entry.KindLevelRead:    (*factSt).boxEvent,
	entry.KindItemSigned:   does((*factSt).sign),
	entry.KindHoldReleased: does(onHitch(func(b *entry.HoldReleased) entry.ID { return b.Drill })),
	entry.KindFarmFounded: does(func(s *factSt, r *rec, b *entry.FarmFounded, on bool) {
		s.member(r, s.maker(r, entry.ID{}, person), entry.Some(b.Owner), entry.Owner, on)
	}),
	entry.KindMemberAdded: does(func(s *factSt, r *rec, b *entry.MemberAdded, on bool) {
		s.member(r, s.maker(r, entry.ID{}, person), entry.Some(b.Name), b.Role, on)
	}),
	entry.KindMemberChanged: does(func(s *factSt, r *rec, b *entry.MemberChanged, on bool) {
		s.member(r, s.thing(b.Member, person), b.Name, b.Role, on)
	}),
	entry.KindMemberStopped: does(func(s *factSt, r *rec, b *entry.MemberStopped, on bool) {
		s.thing(b.Member, person).set(r, field{num: memberStop}, value{n: 1}, on)
	}),
	entry.KindGroundSet: does(func(s *factSt, r *rec, b *entry.GroundSet, on bool) { s.maker(r, b.Ground, ground).setAll(r, b, on) }),
	entry.KindDrillSet:  does(func(s *factSt, r *rec, b *entry.DrillSet, on bool) { s.maker(r, b.Drill, drill).setAll(r, b, on) }),
	entry.KindBoxSet:    does((*factSt).setBox),
	entry.KindChartPointSet: does(func(s *factSt, r *rec, b *entry.ChartPointSet, on bool) {
		s.thing(b.Box, box).set(r, field{num: fieldChart, s: b.Species, n: int64(b.Dial)}, value{n: int64(b.Rate), s: b.Printed}, on)
	}),
	entry.KindLotSet:         does(func(s *factSt, r *rec, b *entry.LotSet, on bool) { s.maker(r, b.Lot, lot).setAll(r, b, on) }),
	entry.KindBagsIn:         does(onThing(lot, func(b *entry.BagsIn) entry.ID { return b.Lot })),
	entry.KindBagsOut:        does(onThing(lot, func(b *entry.BagsOut) entry.ID { return b.Lot })),
	entry.KindPlanSet:        does((*factSt).plan),
	entry.KindChecksSet:      does(func(s *factSt, r *rec, _ *entry.ChecksSet, on bool) { inSet(&s.checks, r, on) }),
	entry.KindHitchBegun:     does(onHitch(func(b *entry.HitchBegun) entry.ID { return b.Drill })),
	entry.KindDrillMoved:     does(onHitch(func(b *entry.DrillMoved) entry.ID { return b.Drill })),
	entry.KindUnhitched:      does(onHitch(func(b *entry.Unhitched) entry.ID { return b.Drill })),
	entry.KindDrained:        (*factSt).boxEvent,
	entry.KindCounterReset:   does(onThing(drill, func(b *entry.CounterReset) entry.ID { return b.Drill })),
	entry.KindStandCounted:   does(onThing(ground, func(b *entry.StandCounted) entry.ID { return b.Ground })),
	entry.KindAmended:        does(func(s *factSt, r *rec, b *entry.Amended, on bool) { s.edit(r, b.Entry, on) }),
	entry.KindStruck:         does(func(s *factSt, r *rec, b *entry.Struck, on bool) { s.edit(r, b.Entry, on) }),
	entry.KindSettled:        does((*factSt).putSettled),
	entry.KindCounterStood:   does(onThing(drill, func(b *entry.CounterStood) entry.ID { return b.Drill })),
	entry.KindGroundFinished: does((*factSt).finish),
	entry.KindDialMarked: does(func(s *factSt, r *rec, b *entry.DialMarked, on bool) {
		s.thing(b.Box, box).set(r, field{num: fieldMarks, n: b.Side}, value{s: strings.Join(b.Marks, "\x00")}, on)
	}),
	entry.KindVolumeWeighed:  does(onThing(lot, func(b *entry.VolumeWeighed) entry.ID { return b.Lot })),
	entry.KindVolumeFilled:   (*factSt).boxEvent,
	entry.KindLabelSet:       does(func(s *factSt, r *rec, b *entry.LabelSet, on bool) { s.thing(b.Lot, lot).label(r, b, on) }),
	entry.KindNoted:          none,
	entry.KindHoldRaised:     none,
	entry.KindInvited:        none,
	entry.KindDeviceEnrolled: none,
	entry.KindDeviceStopped:  none,
	entry.KindDeviceTakenIn:  none,
	entry.KindRecovered:      none,
	entry.KindAdmitted:       none,
	entry.KindPinned:         does(func(s *factSt, r *rec, _ *entry.Pinned, on bool) { inSet(&s.pinned, r, on) }),
	entry.KindErrand:         does(func(s *factSt, r *rec, _ *entry.Errand, on bool) { inSet(&s.errands, r, on) }),
}

// does is the row of a kind's body.
func does[B entry.Body](do func(*factSt, *rec, B, bool)) effect {
	return func(s *factSt, r *rec, b entry.Body, on bool) { do(s, r, b.(B), on) }
}

// none is the row of a kind that bears on no matter: it is read in the log, or
// by who belongs, or heard at once.
func none(*factSt, *rec, entry.Body, bool) {}

// onThing has a body be an event of a drill, a lot or a piece of ground.
func onThing[B entry.Body](k thingKind, of func(B) entry.ID) func(*factSt, *rec, B, bool) {
	return func(s *factSt, r *rec, b B, on bool) { s.thing(of(b), k).event(r, on) }
}

// onHitch has a body bear on the hitch of a drill.
func onHitch[B entry.Body](of func(B) entry.ID) func(*factSt, *rec, B, bool) {
	return func(s *factSt, r *rec, b B, on bool) { inSet(&s.drillOf(of(b)).hitch, r, on) }
}

// put lets an entry take effect; take undoes it.
func (s *factSt) put(r *rec, b entry.Body)  { s.does(r, b, true) }
func (s *factSt) take(r *rec, b entry.Body) { s.does(r, b, false) }

func (s *factSt) does(r *rec, b entry.Body, on bool) {
	if k := b.Kind(); k <= entry.LastKind && effects[k] != nil { // a later kind does nothing here
		effects[k](s, r, b, on)
	}
}
