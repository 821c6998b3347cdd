package fact

import (
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
)

// effect lets an entry take effect as a body says, or takes that back.
type effect func(s *Facts, r *order.Rec, b entry.Body, on bool)

// effects has a row for each kind, by its number: what an entry of it does. Tests
// fail without a row. It is filled in init, since what some entries do is to
// have others do what their rows say, and no table may be made of what reads it.
var effects [entry.LastKind + 1]effect

func init() { effects = rowsOfEffects }

var rowsOfEffects = [...]effect{
	entry.KindFilled:    (*Facts).boxEvent,
	entry.KindMeterRead: does(onThing(thing.Drill, func(b *entry.MeterRead) entry.ID { return b.Drill })),
	entry.KindDialMoved: does(func(s *Facts, r *order.Rec, b *entry.DialMoved, on bool) {
		s.boxEvent(r, b, on)
		s.Thing(b.Box, thing.Box).Set(r, thing.Field{Num: thing.FieldDial, N: b.Side}, thing.Value{N: int64(b.To)}, on)
	}),
	entry.KindCaught:       (*Facts).boxEvent,
	entry.KindLevelRead:    (*Facts).boxEvent,
	entry.KindItemSigned:   does((*Facts).sign),
	entry.KindHoldReleased: does(onHitch(func(b *entry.HoldReleased) entry.ID { return b.Drill })),
	entry.KindHoldSeen:     does((*Facts).see),
	entry.KindFarmFounded: does(func(s *Facts, r *order.Rec, b *entry.FarmFounded, on bool) {
		s.member(r, s.maker(r, entry.ID{}, thing.Person), entry.Some(b.Owner), entry.Owner, on)
	}),
	entry.KindMemberAdded: does(func(s *Facts, r *order.Rec, b *entry.MemberAdded, on bool) {
		s.member(r, s.maker(r, entry.ID{}, thing.Person), entry.Some(b.Name), b.Role, on)
	}),
	entry.KindMemberChanged: does(func(s *Facts, r *order.Rec, b *entry.MemberChanged, on bool) {
		s.member(r, s.Thing(b.Member, thing.Person), b.Name, b.Role, on)
	}),
	entry.KindMemberStopped: does(func(s *Facts, r *order.Rec, b *entry.MemberStopped, on bool) {
		s.Thing(b.Member, thing.Person).Set(r, thing.Field{Num: thing.MemberStop}, thing.Value{N: 1}, on)
	}),
	entry.KindGroundSet: does(func(s *Facts, r *order.Rec, b *entry.GroundSet, on bool) {
		s.maker(r, b.Ground, thing.Ground).SetAll(r, b, on)
	}),
	entry.KindDrillSet: does(func(s *Facts, r *order.Rec, b *entry.DrillSet, on bool) {
		s.maker(r, b.Drill, thing.Drill).SetAll(r, b, on)
	}),
	entry.KindBoxSet: does((*Facts).setBox),
	entry.KindChartPointSet: does(func(s *Facts, r *order.Rec, b *entry.ChartPointSet, on bool) {
		s.Thing(b.Box, thing.Box).Set(r, thing.Field{Num: thing.FieldChart, S: b.Species, N: int64(b.Dial)}, thing.Value{N: int64(b.Rate), S: b.Printed}, on)
	}),
	entry.KindLotSet:         does(func(s *Facts, r *order.Rec, b *entry.LotSet, on bool) { s.maker(r, b.Lot, thing.Lot).SetAll(r, b, on) }),
	entry.KindBagsIn:         does(onThing(thing.Lot, func(b *entry.BagsIn) entry.ID { return b.Lot })),
	entry.KindBagsOut:        does(onThing(thing.Lot, func(b *entry.BagsOut) entry.ID { return b.Lot })),
	entry.KindPlanSet:        does((*Facts).plan),
	entry.KindChecksSet:      does(func(s *Facts, r *order.Rec, _ *entry.ChecksSet, on bool) { thing.InSet(&s.Checks, r, on) }),
	entry.KindHitchBegun:     does(onHitch(func(b *entry.HitchBegun) entry.ID { return b.Drill })),
	entry.KindDrillMoved:     does(onHitch(func(b *entry.DrillMoved) entry.ID { return b.Drill })),
	entry.KindUnhitched:      does(onHitch(func(b *entry.Unhitched) entry.ID { return b.Drill })),
	entry.KindDrained:        (*Facts).boxEvent,
	entry.KindCounterReset:   does(onThing(thing.Drill, func(b *entry.CounterReset) entry.ID { return b.Drill })),
	entry.KindStandCounted:   does(onThing(thing.Ground, func(b *entry.StandCounted) entry.ID { return b.Ground })),
	entry.KindAmended:        does(func(s *Facts, r *order.Rec, b *entry.Amended, on bool) { s.edit(r, b.Entry, on) }),
	entry.KindStruck:         does(func(s *Facts, r *order.Rec, b *entry.Struck, on bool) { s.edit(r, b.Entry, on) }),
	entry.KindSettled:        does((*Facts).putSettled),
	entry.KindCounterStood:   does(onThing(thing.Drill, func(b *entry.CounterStood) entry.ID { return b.Drill })),
	entry.KindGroundFinished: does((*Facts).finish),
	entry.KindDialMarked: does(func(s *Facts, r *order.Rec, b *entry.DialMarked, on bool) {
		s.Thing(b.Box, thing.Box).Set(r, thing.Field{Num: thing.FieldMarks, N: b.Side}, thing.Value{S: strings.Join(b.Marks, "\x00")}, on)
	}),
	entry.KindVolumeWeighed:  does(onThing(thing.Lot, func(b *entry.VolumeWeighed) entry.ID { return b.Lot })),
	entry.KindVolumeFilled:   (*Facts).boxEvent,
	entry.KindLabelSet:       does(func(s *Facts, r *order.Rec, b *entry.LabelSet, on bool) { s.Thing(b.Lot, thing.Lot).Label(r, b, on) }),
	entry.KindNoted:          none,
	entry.KindHoldRaised:     none,
	entry.KindInvited:        none,
	entry.KindDeviceEnrolled: none,
	entry.KindDeviceStopped:  none,
	entry.KindDeviceTakenIn:  none,
	entry.KindRecovered:      none,
	entry.KindAdmitted:       none,
	entry.KindPinned:         does(func(s *Facts, r *order.Rec, _ *entry.Pinned, on bool) { thing.InSet(&s.Pinned, r, on) }),
	entry.KindErrand:         does(func(s *Facts, r *order.Rec, _ *entry.Errand, on bool) { thing.InSet(&s.Errands, r, on) }),
}

// does is the row of a kind's body.
func does[B entry.Body](do func(*Facts, *order.Rec, B, bool)) effect {
	return func(s *Facts, r *order.Rec, b entry.Body, on bool) { do(s, r, b.(B), on) }
}

// none is the row of a kind that bears on no matter: it is read in the log, or
// by who belongs, or heard at once.
func none(*Facts, *order.Rec, entry.Body, bool) {}

// onThing has a body be an event of a drill, a lot or a piece of ground.
func onThing[B entry.Body](k thing.ThingKind, of func(B) entry.ID) func(*Facts, *order.Rec, B, bool) {
	return func(s *Facts, r *order.Rec, b B, on bool) { s.Thing(of(b), k).Event(r, on) }
}

// onHitch has a body bear on the hitch of a drill.
func onHitch[B entry.Body](of func(B) entry.ID) func(*Facts, *order.Rec, B, bool) {
	return func(s *Facts, r *order.Rec, b B, on bool) { thing.InSet(&s.DrillOf(of(b)).Hitch, r, on) }
}

// put lets an entry take effect; take undoes it.
func (s *Facts) put(r *order.Rec, b entry.Body) { s.does(r, b, true) }

func (s *Facts) take(r *order.Rec, b entry.Body) { s.does(r, b, false) }

func (s *Facts) does(r *order.Rec, b entry.Body, on bool) {
	if k := b.Kind(); k <= entry.LastKind && effects[k] != nil { // a later kind does nothing here
		effects[k](s, r, b, on)
	}
}
