package words

import (
	"fmt"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/units"
)

// What is a body in words.
func (s *Words) What(b entry.Body) string {
	if u, ok := b.(*entry.Unknown); ok {
		return "written by a newer version: " + u.Why
	}
	return tells[b.Kind()](s, b)
}

// tells is told, which some rows read themselves.
var tells *[entry.LastKind + 1]func(*Words, entry.Body) string

func init() { tells = &told }

func by[B entry.Body](tell func(*Words, B) string) func(*Words, entry.Body) string {
	return func(s *Words, b entry.Body) string { return tell(s, b.(B)) }
}

// told has for each kind, by its number, how its bodies are told in words. A
// test fails without a row.
var told = [...]func(*Words, entry.Body) string{
	entry.KindFilled: by(func(s *Words, b *entry.Filled) string {
		return s.join("filled "+s.BoxSide(b.Box, b.Side)+" with "+s.Amount(b)+" of "+s.Name(b.Lot)+counterAt(b.Reading), b.Note)
	}),
	entry.KindMeterRead: by(func(s *Words, b *entry.MeterRead) string { return s.join(s.read(b), b.Note) }),
	entry.KindDialMoved: by(func(s *Words, b *entry.DialMoved) string { return s.join(s.moved(b)+counterAt(b.Reading), b.Why) }),
	entry.KindCaught:    by(func(s *Words, b *entry.Caught) string { return s.join(s.caught(b)+counterAt(b.Reading), b.Note) }),
	entry.KindNoted:     by(func(_ *Words, b *entry.Noted) string { return b.Text }),
	entry.KindLevelRead: by(func(s *Words, b *entry.LevelRead) string {
		return s.join("saw "+LevelText(b, s.System())+" in "+s.BoxSide(b.Box, b.Side)+counterAt(b.Reading), b.Note)
	}),
	entry.KindItemSigned:   by(func(s *Words, b *entry.ItemSigned) string { return "signed: " + s.item(b) }),
	entry.KindHoldRaised:   by(func(s *Words, b *entry.HoldRaised) string { return s.join("HOLD", b.Why) }),
	entry.KindHoldReleased: by(func(s *Words, b *entry.HoldReleased) string { return s.join("released the hold", b.Why) }),

	entry.KindFarmFounded:    by(func(_ *Words, b *entry.FarmFounded) string { return b.Owner + " founded " + b.Name }),
	entry.KindInvited:        by(func(s *Words, b *entry.Invited) string { return "invited " + s.Name(b.Person) }),
	entry.KindDeviceEnrolled: by(func(_ *Words, b *entry.DeviceEnrolled) string { return "asked to join on " + b.Name }),
	entry.KindMemberAdded:    by(func(_ *Words, b *entry.MemberAdded) string { return "added " + b.Name + " as " + b.Role.String() }),
	entry.KindMemberChanged:  by((*Words).memberChanged),
	entry.KindMemberStopped:  by(func(s *Words, b *entry.MemberStopped) string { return s.join("stopped "+s.Name(b.Member), b.Why) }),
	entry.KindDeviceStopped: by(func(s *Words, b *entry.DeviceStopped) string {
		return s.join("stopped device "+s.DeviceName(b.Last.Log.Device()), b.Why)
	}),
	entry.KindDeviceTakenIn: by(func(s *Words, b *entry.DeviceTakenIn) string {
		return s.join("took in device "+s.DeviceName(b.Last.Log.Device()), b.Why)
	}),

	entry.KindGroundSet:     by(func(s *Words, b *entry.GroundSet) string { return "set ground " + s.setName(b.Name, b.Ground) }),
	entry.KindDrillSet:      by(func(s *Words, b *entry.DrillSet) string { return "set drill " + s.setName(b.Name, b.Drill) }),
	entry.KindBoxSet:        by(func(s *Words, b *entry.BoxSet) string { return "set box " + s.setName(b.Name, b.Box) }),
	entry.KindChartPointSet: by((*Words).chartPoint),
	entry.KindLotSet:        by(func(s *Words, b *entry.LotSet) string { return "set lot " + s.setName(b.Name, b.Lot) }),
	entry.KindBagsIn: by(func(s *Words, b *entry.BagsIn) string {
		return s.join(BagsText(b.Bags)+" of "+s.Name(b.Lot)+" came", b.Note)
	}),
	entry.KindBagsOut: by(func(s *Words, b *entry.BagsOut) string {
		return s.join(BagsText(b.Bags)+" of "+s.Name(b.Lot)+" left", b.Note)
	}),
	entry.KindPlanSet: by(func(s *Words, b *entry.PlanSet) string { return "planned " + s.Name(b.Ground) + s.components(b) }),

	entry.KindChecksSet: by((*Words).checksSet),
	entry.KindHitchBegun: by(func(s *Words, b *entry.HitchBegun) string {
		return s.join("began to hitch "+s.Name(b.Drill), b.Tractor)
	}),
	entry.KindDrillMoved:   by((*Words).madeUp),
	entry.KindUnhitched:    by(func(s *Words, b *entry.Unhitched) string { return s.join("unhitched "+s.Name(b.Drill), b.Why) }),
	entry.KindDrained:      by(func(s *Words, b *entry.Drained) string { return s.join(s.drained(b)+counterAt(b.Reading), b.Where) }),
	entry.KindCounterReset: by((*Words).counterReset),
	entry.KindStandCounted: by(func(s *Words, b *entry.StandCounted) string {
		return s.join("counted plants on "+s.Name(b.Ground), b.Note)
	}),

	entry.KindAmended: by((*Words).amendment),
	entry.KindStruck:  by(func(s *Words, b *entry.Struck) string { return s.join("struck "+b.Entry.Short(), b.Why) }),
	entry.KindSettled: by(func(s *Words, b *entry.Settled) string {
		return s.join("settled \""+conflict.DoubtKind(b.Doubt).Words()+"\": "+s.stands(b), b.Why)
	}),

	entry.KindCounterStood:   by((*Words).counterStood),
	entry.KindGroundFinished: by((*Words).finished),
	entry.KindDialMarked:     by((*Words).dialMarked),
	entry.KindVolumeWeighed: by(func(s *Words, b *entry.VolumeWeighed) string {
		return s.Measure(b.Volume, b.VolumeIn, b.Heaped) + " of " + s.Name(b.Lot) + " weighs " + b.Mass.As(b.MassIn, s.System())
	}),
	entry.KindVolumeFilled: by(func(s *Words, b *entry.VolumeFilled) string {
		return s.join("filled "+s.BoxSide(b.Box, b.Side)+" with "+s.Measure(b.Volume, b.VolumeIn, b.Heaped)+" of "+s.Name(b.Lot)+counterAt(b.Reading), b.Note)
	}),
	entry.KindLabelSet: by(func(s *Words, b *entry.LabelSet) string {
		return "set the label of lot " + s.Name(b.Lot) + view.LabelText(b)
	}),
	entry.KindRecovered: by(func(_ *Words, b *entry.Recovered) string { return "came in by the code on paper, on " + b.Name }),
	entry.KindAdmitted:  by((*Words).whatAdmitted),
	entry.KindPinned:    by((*Words).pinned),
	entry.KindErrand:    by((*Words).errand),
}

func (s *Words) memberChanged(b *entry.MemberChanged) string {
	if b.Role != entry.NoRole {
		return "changed " + s.Name(b.Member) + " to " + b.Role.String()
	}
	return "changed " + s.Name(b.Member)
}

func (s *Words) chartPoint(b *entry.ChartPointSet) string {
	return fmt.Sprintf("chart of %s: %s at %s gives %s", s.Name(b.Box), b.Species, s.DialText(b.Box, 0, b.Dial), s.printed(b))
}

func (s *Words) checksSet(b *entry.ChecksSet) string {
	return fmt.Sprintf("set the list of checks, version %d: %s", b.Version, units.Counted(strconv.Itoa(len(b.Items)), "check"))
}

func (s *Words) madeUp(b *entry.DrillMoved) string {
	if b.State == entry.Transport {
		return s.join("made up for the road", b.Note)
	}
	return s.join("made up for the field", b.Note)
}

func (s *Words) counterReset(b *entry.CounterReset) string {
	return s.join("counter went from "+thing.Decimal(int64(b.From))+" to "+thing.Decimal(int64(b.To)), b.Why)
}

func (s *Words) counterStood(b *entry.CounterStood) string {
	what := "counter stood at " + thing.Decimal(int64(b.Reading)) + " when work began"
	if !b.Ground.IsZero() {
		what += " on " + s.Name(b.Ground)
	}
	return s.join(what, b.Why)
}

func (s *Words) amendment(b *entry.Amended) string {
	if b.Body == nil {
		return "amended " + b.Entry.Short()
	}
	return s.join("amended "+b.Entry.Short()+" to: "+s.What(b.Body), b.Why)
}

func (s *Words) dialMarked(b *entry.DialMarked) string {
	if len(b.Marks) == 0 {
		return "dial of " + s.BoxSide(b.Box, b.Side) + " has numbers"
	}
	return "dial of " + s.BoxSide(b.Box, b.Side) + " has the marks " + strings.Join(b.Marks, ", ")
}
