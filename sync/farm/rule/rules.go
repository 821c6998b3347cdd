package rule

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
)

// rules has a row for each kind, by its number: who may write it, what others
// may say of it, and what its fields name. Tests fail without a row, and where
// one leaves out a reference. What an entry does is in effects.go.
var rules = [entry.LastKind + 1]rule{
	entry.KindFilled: of(entry.Helper, amendable,
		func(b *entry.Filled, to []ref) []ref { return append(to, ref{thing.Box, b.Box}, ref{thing.Lot, b.Lot}) }),
	entry.KindMeterRead: of(entry.Helper, amendable,
		func(b *entry.MeterRead, to []ref) []ref {
			return append(to, ref{thing.Drill, b.Drill}, ref{thing.Ground, b.Ground})
		}),
	entry.KindDialMoved: of(entry.Operator, amendable,
		func(b *entry.DialMoved, to []ref) []ref { return append(to, ref{thing.Box, b.Box}) }),
	entry.KindCaught: of(entry.Helper, amendable,
		func(b *entry.Caught, to []ref) []ref { return append(to, ref{thing.Box, b.Box}, ref{thing.Lot, b.Lot}) }),
	entry.KindNoted: of(entry.Helper, amendable,
		func(b *entry.Noted, to []ref) []ref { return append(to, ref{anything, b.About}) }),
	entry.KindLevelRead: of(entry.Helper, amendable,
		func(b *entry.LevelRead, to []ref) []ref { return append(to, ref{thing.Box, b.Box}) }),
	entry.KindItemSigned: of(entry.Operator, strikable,
		func(b *entry.ItemSigned, to []ref) []ref { return append(to, ref{anything, b.Hitch}) }),
	entry.KindHoldRaised: of(anyone, fixed, // it is heard whether it counts or not
		func(b *entry.HoldRaised, to []ref) []ref { return append(to, ref{anything, b.Drill}) }),
	entry.KindHoldReleased: of(entry.Operator, strikable,
		func(b *entry.HoldReleased, to []ref) []ref {
			return all(append(to, ref{thing.Drill, b.Drill}), b.Holds)
		}),
	entry.KindHoldSeen: of(entry.Viewer, fixed,
		func(b *entry.HoldSeen, to []ref) []ref { return all(to, b.Holds) }),

	entry.KindFarmFounded: making(thing.Person, func(b entry.Body) bool { _, ok := b.(*entry.FarmFounded); return ok },
		ofCrew[*entry.FarmFounded](entry.Owner, nil)),
	entry.KindInvited: ofCrew(entry.Owner,
		func(b *entry.Invited, to []ref) []ref { return append(to, ref{thing.Person, b.Person}) }),
	entry.KindDeviceEnrolled: ofCrew[*entry.DeviceEnrolled](anyone, nil),
	entry.KindMemberAdded: making(thing.Person, func(b entry.Body) bool { _, ok := b.(*entry.MemberAdded); return ok },
		ofCrew[*entry.MemberAdded](entry.Owner, nil)),
	entry.KindMemberChanged: ofCrew(entry.Owner,
		func(b *entry.MemberChanged, to []ref) []ref { return append(to, ref{thing.Person, b.Member}) }),
	entry.KindMemberStopped: ofCrew(entry.Owner,
		func(b *entry.MemberStopped, to []ref) []ref { return append(to, ref{thing.Person, b.Member}) }),
	entry.KindDeviceStopped: ofCrew[*entry.DeviceStopped](entry.Owner, nil),
	entry.KindDeviceTakenIn: ofCrew[*entry.DeviceTakenIn](entry.Owner, nil),

	entry.KindGroundSet: making(thing.Ground, func(b entry.Body) bool { set, ok := b.(*entry.GroundSet); return ok && set.Ground.IsZero() }, of(entry.Operator, amendable,
		func(b *entry.GroundSet, to []ref) []ref { return append(to, ref{thing.Ground, b.Ground}) })),
	entry.KindDrillSet: making(thing.Drill, func(b entry.Body) bool { set, ok := b.(*entry.DrillSet); return ok && set.Drill.IsZero() }, of(entry.Operator, amendable,
		func(b *entry.DrillSet, to []ref) []ref { return append(to, ref{thing.Drill, b.Drill}) })),
	entry.KindBoxSet: making(thing.Box, func(b entry.Body) bool { set, ok := b.(*entry.BoxSet); return ok && set.Box.IsZero() }, of(entry.Operator, amendable,
		func(b *entry.BoxSet, to []ref) []ref {
			return append(to, ref{thing.Box, b.Box}, ref{thing.Drill, b.Drill})
		})),
	entry.KindChartPointSet: of(entry.Operator, amendable,
		func(b *entry.ChartPointSet, to []ref) []ref { return append(to, ref{thing.Box, b.Box}) }),
	entry.KindLotSet: making(thing.Lot, func(b entry.Body) bool { set, ok := b.(*entry.LotSet); return ok && set.Lot.IsZero() }, of(entry.Operator, amendable,
		func(b *entry.LotSet, to []ref) []ref { return append(to, ref{thing.Lot, b.Lot}) })),
	entry.KindBagsIn: of(entry.Helper, amendable,
		func(b *entry.BagsIn, to []ref) []ref { return append(to, ref{thing.Lot, b.Lot}) }),
	entry.KindBagsOut: of(entry.Helper, amendable,
		func(b *entry.BagsOut, to []ref) []ref { return append(to, ref{thing.Lot, b.Lot}) }),
	entry.KindPlanSet: of(entry.Operator, amendable, planned),

	entry.KindChecksSet: of[*entry.ChecksSet](entry.Operator, fixed, nil),
	entry.KindHitchBegun: of(entry.Operator, fixed,
		func(b *entry.HitchBegun, to []ref) []ref {
			return append(to, ref{anything, b.Checks}, ref{thing.Drill, b.Drill})
		}),
	entry.KindDrillMoved: of(entry.Operator, strikable,
		func(b *entry.DrillMoved, to []ref) []ref { return append(to, ref{thing.Drill, b.Drill}) }),
	entry.KindUnhitched: of(entry.Operator, fixed,
		func(b *entry.Unhitched, to []ref) []ref { return append(to, ref{thing.Drill, b.Drill}) }),
	entry.KindDrained: of(entry.Helper, amendable,
		func(b *entry.Drained, to []ref) []ref { return append(to, ref{thing.Box, b.Box}) }),
	entry.KindCounterReset: of(entry.Operator, amendable,
		func(b *entry.CounterReset, to []ref) []ref { return append(to, ref{thing.Drill, b.Drill}) }),
	entry.KindStandCounted: of(entry.Helper, amendable,
		func(b *entry.StandCounted, to []ref) []ref { return append(to, ref{thing.Ground, b.Ground}) }),

	entry.KindAmended: of(entry.Helper, amendable,
		func(b *entry.Amended, to []ref) []ref { return append(to, ref{anything, b.Entry}) }),
	entry.KindStruck: of(entry.Helper, amendable,
		func(b *entry.Struck, to []ref) []ref { return append(to, ref{anything, b.Entry}) }),
	entry.KindSettled: of(entry.Operator, amendable,
		func(b *entry.Settled, to []ref) []ref { return all(all(to, b.Entries), b.Stands) }),

	entry.KindCounterStood: of(entry.Helper, amendable,
		func(b *entry.CounterStood, to []ref) []ref {
			return append(to, ref{thing.Drill, b.Drill}, ref{thing.Ground, b.Ground})
		}),
	entry.KindGroundFinished: of(entry.Helper, amendable,
		func(b *entry.GroundFinished, to []ref) []ref {
			return append(to, ref{thing.Ground, b.Ground}, ref{thing.Drill, b.Drill})
		}),
	entry.KindDialMarked: of(entry.Operator, amendable,
		func(b *entry.DialMarked, to []ref) []ref { return append(to, ref{thing.Box, b.Box}) }),
	entry.KindVolumeWeighed: of(entry.Helper, amendable,
		func(b *entry.VolumeWeighed, to []ref) []ref { return append(to, ref{thing.Lot, b.Lot}) }),
	entry.KindVolumeFilled: of(entry.Helper, amendable,
		func(b *entry.VolumeFilled, to []ref) []ref {
			return append(to, ref{thing.Box, b.Box}, ref{thing.Lot, b.Lot})
		}),
	entry.KindLabelSet: of(entry.Operator, amendable,
		func(b *entry.LabelSet, to []ref) []ref { return append(to, ref{thing.Lot, b.Lot}) }),
	entry.KindRecovered: ofCrew[*entry.Recovered](anyone, nil),
	entry.KindAdmitted: ofCrew(entry.Owner,
		func(b *entry.Admitted, to []ref) []ref { return append(to, ref{anything, b.Person}) }),
	entry.KindPinned: making(thing.Spot, func(b entry.Body) bool { p, ok := b.(*entry.Pinned); return ok && p.Of.IsZero() }, of(entry.Helper, amendable,
		func(b *entry.Pinned, to []ref) []ref {
			return append(to, ref{thing.Spot, b.Of}, ref{thing.Ground, b.Ground})
		})),
	entry.KindErrand: making(thing.Errand, func(b entry.Body) bool { e, ok := b.(*entry.Errand); return ok && e.Of.IsZero() }, of(entry.Helper, amendable,
		func(b *entry.Errand, to []ref) []ref {
			return append(to, ref{thing.Errand, b.Of}, ref{thing.Lot, b.Lot}, ref{thing.Box, b.Box})
		})),
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
	to = append(to, ref{thing.Ground, b.Ground})
	for i := range b.Components {
		c := &b.Components[i]
		to = append(to, ref{thing.Lot, c.Lot}, ref{thing.Box, c.Box})
	}
	return to
}
