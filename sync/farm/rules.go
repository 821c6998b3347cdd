package farm

import (
	"strings"

	"turnrow/sync/entry"
)

// rules has a row for each kind, by its number: who may write it, what others
// may say of it, what its fields name, and what it does. Tests fail without a
// row, and where one leaves out a reference.
var rules = [...]rule{
	entry.KindFilled: onBox(of(entry.Helper, amendable,
		func(b *entry.Filled, to []ref) []ref { return append(to, ref{box, b.Box}, ref{lot, b.Lot}) }, nil)),
	entry.KindMeterRead: of(entry.Helper, amendable,
		func(b *entry.MeterRead, to []ref) []ref {
			return append(to, ref{drill, b.Drill}, ref{ground, b.Ground})
		},
		onThing(drill, func(b *entry.MeterRead) entry.ID { return b.Drill })),
	entry.KindDialMoved: of(entry.Operator, amendable,
		func(b *entry.DialMoved, to []ref) []ref { return append(to, ref{box, b.Box}) },
		func(s *State, r *rec, b *entry.DialMoved, on bool) {
			s.boxEvent(r, b, on)
			s.thing(b.Box, box).set(r, field{num: fieldDial, n: b.Side}, value{n: int64(b.To)}, on)
		}),
	entry.KindCaught: onBox(of(entry.Helper, amendable,
		func(b *entry.Caught, to []ref) []ref { return append(to, ref{box, b.Box}, ref{lot, b.Lot}) }, nil)),
	entry.KindNoted: of(entry.Helper, amendable,
		func(b *entry.Noted, to []ref) []ref { return append(to, ref{anything, b.About}) }, nil),
	entry.KindLevelRead: onBox(of(entry.Helper, amendable,
		func(b *entry.LevelRead, to []ref) []ref { return append(to, ref{box, b.Box}) }, nil)),
	entry.KindItemSigned: of(entry.Operator, strikable,
		func(b *entry.ItemSigned, to []ref) []ref { return append(to, ref{anything, b.Hitch}) }, (*State).sign),
	entry.KindHoldRaised: of(anyone, fixed, // it is heard whether it counts or not
		func(b *entry.HoldRaised, to []ref) []ref { return append(to, ref{anything, b.Drill}) }, nil),
	entry.KindHoldReleased: of(entry.Operator, strikable,
		func(b *entry.HoldReleased, to []ref) []ref { return all(append(to, ref{drill, b.Drill}), b.Holds) },
		onHitch(func(b *entry.HoldReleased) entry.ID { return b.Drill })),

	entry.KindFarmFounded: making(person, func(b entry.Body) bool { _, ok := b.(*entry.FarmFounded); return ok },
		ofCrew(entry.Owner, nil, func(s *State, r *rec, b *entry.FarmFounded, on bool) {
			s.member(r, s.maker(r, entry.ID{}, person), entry.Some(b.Owner), entry.Owner, on)
		})),
	entry.KindInvited: ofCrew(entry.Owner,
		func(b *entry.Invited, to []ref) []ref { return append(to, ref{person, b.Person}) }, nil),
	entry.KindDeviceEnrolled: ofCrew[*entry.DeviceEnrolled](anyone, nil, nil),
	entry.KindMemberAdded: making(person, func(b entry.Body) bool { _, ok := b.(*entry.MemberAdded); return ok },
		ofCrew(entry.Owner, nil, func(s *State, r *rec, b *entry.MemberAdded, on bool) {
			s.member(r, s.maker(r, entry.ID{}, person), entry.Some(b.Name), b.Role, on)
		})),
	entry.KindMemberChanged: ofCrew(entry.Owner,
		func(b *entry.MemberChanged, to []ref) []ref { return append(to, ref{person, b.Member}) },
		func(s *State, r *rec, b *entry.MemberChanged, on bool) {
			s.member(r, s.thing(b.Member, person), b.Name, b.Role, on)
		}),
	entry.KindMemberStopped: ofCrew(entry.Owner,
		func(b *entry.MemberStopped, to []ref) []ref { return append(to, ref{person, b.Member}) },
		func(s *State, r *rec, b *entry.MemberStopped, on bool) {
			s.thing(b.Member, person).set(r, field{num: memberStop}, value{n: 1}, on)
		}),
	entry.KindDeviceStopped: ofCrew[*entry.DeviceStopped](entry.Owner, nil, nil),
	entry.KindDeviceTakenIn: ofCrew[*entry.DeviceTakenIn](entry.Owner, nil, nil),

	entry.KindGroundSet: making(ground, func(b entry.Body) bool { set, ok := b.(*entry.GroundSet); return ok && set.Ground.IsZero() }, of(entry.Operator, amendable,
		func(b *entry.GroundSet, to []ref) []ref { return append(to, ref{ground, b.Ground}) },
		func(s *State, r *rec, b *entry.GroundSet, on bool) { s.maker(r, b.Ground, ground).setAll(r, b, on) })),
	entry.KindDrillSet: making(drill, func(b entry.Body) bool { set, ok := b.(*entry.DrillSet); return ok && set.Drill.IsZero() }, of(entry.Operator, amendable,
		func(b *entry.DrillSet, to []ref) []ref { return append(to, ref{drill, b.Drill}) },
		func(s *State, r *rec, b *entry.DrillSet, on bool) { s.maker(r, b.Drill, drill).setAll(r, b, on) })),
	entry.KindBoxSet: making(box, func(b entry.Body) bool { set, ok := b.(*entry.BoxSet); return ok && set.Box.IsZero() }, of(entry.Operator, amendable,
		func(b *entry.BoxSet, to []ref) []ref { return append(to, ref{box, b.Box}, ref{drill, b.Drill}) }, (*State).setBox)),
	entry.KindChartPointSet: of(entry.Operator, amendable,
		func(b *entry.ChartPointSet, to []ref) []ref { return append(to, ref{box, b.Box}) },
		func(s *State, r *rec, b *entry.ChartPointSet, on bool) {
			s.thing(b.Box, box).set(r, field{num: fieldChart, s: b.Species, n: int64(b.Dial)}, value{n: int64(b.Rate), s: b.Printed}, on)
		}),
	entry.KindLotSet: making(lot, func(b entry.Body) bool { set, ok := b.(*entry.LotSet); return ok && set.Lot.IsZero() }, of(entry.Operator, amendable,
		func(b *entry.LotSet, to []ref) []ref { return append(to, ref{lot, b.Lot}) },
		func(s *State, r *rec, b *entry.LotSet, on bool) { s.maker(r, b.Lot, lot).setAll(r, b, on) })),
	entry.KindBagsIn: of(entry.Helper, amendable,
		func(b *entry.BagsIn, to []ref) []ref { return append(to, ref{lot, b.Lot}) },
		onThing(lot, func(b *entry.BagsIn) entry.ID { return b.Lot })),
	entry.KindBagsOut: of(entry.Helper, amendable,
		func(b *entry.BagsOut, to []ref) []ref { return append(to, ref{lot, b.Lot}) },
		onThing(lot, func(b *entry.BagsOut) entry.ID { return b.Lot })),
	entry.KindPlanSet: of(entry.Operator, amendable, planned, (*State).plan),

	entry.KindChecksSet: of(entry.Operator, fixed, nil,
		func(s *State, r *rec, _ *entry.ChecksSet, on bool) { inSet(&s.checks, r, on) }),
	entry.KindHitchBegun: of(entry.Operator, fixed,
		func(b *entry.HitchBegun, to []ref) []ref {
			return append(to, ref{anything, b.Checks}, ref{drill, b.Drill})
		},
		onHitch(func(b *entry.HitchBegun) entry.ID { return b.Drill })),
	entry.KindDrillMoved: of(entry.Operator, strikable,
		func(b *entry.DrillMoved, to []ref) []ref { return append(to, ref{drill, b.Drill}) },
		onHitch(func(b *entry.DrillMoved) entry.ID { return b.Drill })),
	entry.KindUnhitched: of(entry.Operator, fixed,
		func(b *entry.Unhitched, to []ref) []ref { return append(to, ref{drill, b.Drill}) },
		onHitch(func(b *entry.Unhitched) entry.ID { return b.Drill })),
	entry.KindDrained: onBox(of(entry.Helper, amendable,
		func(b *entry.Drained, to []ref) []ref { return append(to, ref{box, b.Box}) }, nil)),
	entry.KindCounterReset: of(entry.Operator, amendable,
		func(b *entry.CounterReset, to []ref) []ref { return append(to, ref{drill, b.Drill}) },
		onThing(drill, func(b *entry.CounterReset) entry.ID { return b.Drill })),
	entry.KindStandCounted: of(entry.Helper, amendable,
		func(b *entry.StandCounted, to []ref) []ref { return append(to, ref{ground, b.Ground}) },
		onThing(ground, func(b *entry.StandCounted) entry.ID { return b.Ground })),

	entry.KindAmended: of(entry.Helper, amendable,
		func(b *entry.Amended, to []ref) []ref { return append(to, ref{anything, b.Entry}) },
		func(s *State, r *rec, b *entry.Amended, on bool) { s.edit(r, b.Entry, on) }),
	entry.KindStruck: of(entry.Helper, amendable,
		func(b *entry.Struck, to []ref) []ref { return append(to, ref{anything, b.Entry}) },
		func(s *State, r *rec, b *entry.Struck, on bool) { s.edit(r, b.Entry, on) }),
	entry.KindSettled: of(entry.Operator, amendable,
		func(b *entry.Settled, to []ref) []ref { return all(all(to, b.Entries), b.Stands) }, (*State).putSettled),

	entry.KindCounterStood: of(entry.Helper, amendable,
		func(b *entry.CounterStood, to []ref) []ref {
			return append(to, ref{drill, b.Drill}, ref{ground, b.Ground})
		},
		onThing(drill, func(b *entry.CounterStood) entry.ID { return b.Drill })),
	entry.KindGroundFinished: of(entry.Helper, amendable,
		func(b *entry.GroundFinished, to []ref) []ref {
			return append(to, ref{ground, b.Ground}, ref{drill, b.Drill})
		},
		(*State).finish),
	entry.KindDialMarked: of(entry.Operator, amendable,
		func(b *entry.DialMarked, to []ref) []ref { return append(to, ref{box, b.Box}) },
		func(s *State, r *rec, b *entry.DialMarked, on bool) {
			s.thing(b.Box, box).set(r, field{num: fieldMarks, n: b.Side}, value{s: strings.Join(b.Marks, "\x00")}, on)
		}),
	entry.KindVolumeWeighed: of(entry.Helper, amendable,
		func(b *entry.VolumeWeighed, to []ref) []ref { return append(to, ref{lot, b.Lot}) },
		onThing(lot, func(b *entry.VolumeWeighed) entry.ID { return b.Lot })),
	entry.KindVolumeFilled: onBox(of(entry.Helper, amendable,
		func(b *entry.VolumeFilled, to []ref) []ref { return append(to, ref{box, b.Box}, ref{lot, b.Lot}) }, nil)),
	entry.KindLabelSet: of(entry.Operator, amendable,
		func(b *entry.LabelSet, to []ref) []ref { return append(to, ref{lot, b.Lot}) },
		func(s *State, r *rec, b *entry.LabelSet, on bool) { s.thing(b.Lot, lot).label(r, b, on) }),
	entry.KindRecovered: ofCrew[*entry.Recovered](anyone, nil, nil),
	entry.KindAdmitted: ofCrew(entry.Owner,
		func(b *entry.Admitted, to []ref) []ref { return append(to, ref{anything, b.Person}) }, nil),
}

// all adds entries that a list names.
func all(to []ref, ids []entry.ID) []ref {
	for _, id := range ids {
		to = append(to, ref{anything, id})
	}
	return to
}

// planned is what a plan names.
func planned(b *entry.PlanSet, to []ref) []ref {
	to = append(to, ref{ground, b.Ground})
	for i := range b.Components {
		c := &b.Components[i]
		to = append(to, ref{lot, c.Lot}, ref{box, c.Box})
	}
	return to
}

// onBox is the row of a kind that is an event of a box, and nothing else.
func onBox(r rule) rule {
	r.effect = (*State).boxEvent
	return r
}

// onThing has a body be an event of a drill, a lot or a piece of ground.
func onThing[B entry.Body](k thingKind, of func(B) entry.ID) func(*State, *rec, B, bool) {
	return func(s *State, r *rec, b B, on bool) { s.thing(of(b), k).event(r, on) }
}

// onHitch has a body bear on the hitch of a drill.
func onHitch[B entry.Body](of func(B) entry.ID) func(*State, *rec, B, bool) {
	return func(s *State, r *rec, b B, on bool) { inSet(&s.drillOf(of(b)).hitch, r, on) }
}
