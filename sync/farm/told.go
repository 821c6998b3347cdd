package farm

import (
	"fmt"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// what is a body in words.
func (s *wordSt) what(b entry.Body) string {
	if u, ok := b.(*entry.Unknown); ok {
		return "written by a newer version: " + u.Why
	}
	return tells[b.Kind()](s, b)
}

// tells is told, which some rows read themselves.
var tells *[entry.LastKind + 1]func(*wordSt, entry.Body) string

func init() { tells = &told }

func by[B entry.Body](tell func(*wordSt, B) string) func(*wordSt, entry.Body) string {
	return func(s *wordSt, b entry.Body) string { return tell(s, b.(B)) }
}

// told has for each kind, by its number, how its bodies are told in words. A
// test fails without a row.
var told = [...]func(*wordSt, entry.Body) string{
	entry.KindFilled: by(func(s *wordSt, b *entry.Filled) string {
		return s.join("filled "+s.boxSide(b.Box, b.Side)+" with "+s.amount(b)+" of "+s.name(b.Lot)+counterAt(b.Reading), b.Note)
	}),
	entry.KindMeterRead: by(func(s *wordSt, b *entry.MeterRead) string { return s.join(s.read(b), b.Note) }),
	entry.KindDialMoved: by(func(s *wordSt, b *entry.DialMoved) string { return s.join(s.moved(b)+counterAt(b.Reading), b.Why) }),
	entry.KindCaught:    by(func(s *wordSt, b *entry.Caught) string { return s.join(s.caught(b)+counterAt(b.Reading), b.Note) }),
	entry.KindNoted:     by(func(_ *wordSt, b *entry.Noted) string { return b.Text }),
	entry.KindLevelRead: by(func(s *wordSt, b *entry.LevelRead) string {
		return s.join("saw "+levelText(b, s.system())+" in "+s.boxSide(b.Box, b.Side)+counterAt(b.Reading), b.Note)
	}),
	entry.KindItemSigned:   by(func(s *wordSt, b *entry.ItemSigned) string { return "signed: " + s.item(b) }),
	entry.KindHoldRaised:   by(func(s *wordSt, b *entry.HoldRaised) string { return s.join("HOLD", b.Why) }),
	entry.KindHoldReleased: by(func(s *wordSt, b *entry.HoldReleased) string { return s.join("released the hold", b.Why) }),

	entry.KindFarmFounded:    by(func(_ *wordSt, b *entry.FarmFounded) string { return b.Owner + " founded " + b.Name }),
	entry.KindInvited:        by(func(s *wordSt, b *entry.Invited) string { return "invited " + s.name(b.Person) }),
	entry.KindDeviceEnrolled: by(func(_ *wordSt, b *entry.DeviceEnrolled) string { return "asked to join on " + b.Name }),
	entry.KindMemberAdded:    by(func(_ *wordSt, b *entry.MemberAdded) string { return "added " + b.Name + " as " + b.Role.String() }),
	entry.KindMemberChanged:  by((*wordSt).memberChanged),
	entry.KindMemberStopped:  by(func(s *wordSt, b *entry.MemberStopped) string { return s.join("stopped "+s.name(b.Member), b.Why) }),
	entry.KindDeviceStopped: by(func(s *wordSt, b *entry.DeviceStopped) string {
		return s.join("stopped device "+s.deviceName(b.Last.Device), b.Why)
	}),
	entry.KindDeviceTakenIn: by(func(s *wordSt, b *entry.DeviceTakenIn) string {
		return s.join("took in device "+s.deviceName(b.Last.Device), b.Why)
	}),

	entry.KindGroundSet:     by(func(s *wordSt, b *entry.GroundSet) string { return "set ground " + s.setName(b.Name, b.Ground) }),
	entry.KindDrillSet:      by(func(s *wordSt, b *entry.DrillSet) string { return "set drill " + s.setName(b.Name, b.Drill) }),
	entry.KindBoxSet:        by(func(s *wordSt, b *entry.BoxSet) string { return "set box " + s.setName(b.Name, b.Box) }),
	entry.KindChartPointSet: by((*wordSt).chartPoint),
	entry.KindLotSet:        by(func(s *wordSt, b *entry.LotSet) string { return "set lot " + s.setName(b.Name, b.Lot) }),
	entry.KindBagsIn: by(func(s *wordSt, b *entry.BagsIn) string {
		return s.join(bagsText(b.Bags)+" of "+s.name(b.Lot)+" came", b.Note)
	}),
	entry.KindBagsOut: by(func(s *wordSt, b *entry.BagsOut) string {
		return s.join(bagsText(b.Bags)+" of "+s.name(b.Lot)+" left", b.Note)
	}),
	entry.KindPlanSet: by(func(s *wordSt, b *entry.PlanSet) string { return "planned " + s.name(b.Ground) + s.components(b) }),

	entry.KindChecksSet: by((*wordSt).checksSet),
	entry.KindHitchBegun: by(func(s *wordSt, b *entry.HitchBegun) string {
		return s.join("began to hitch "+s.name(b.Drill), b.Tractor)
	}),
	entry.KindDrillMoved:   by((*wordSt).madeUp),
	entry.KindUnhitched:    by(func(s *wordSt, b *entry.Unhitched) string { return s.join("unhitched "+s.name(b.Drill), b.Why) }),
	entry.KindDrained:      by(func(s *wordSt, b *entry.Drained) string { return s.join(s.drained(b)+counterAt(b.Reading), b.Where) }),
	entry.KindCounterReset: by((*wordSt).counterReset),
	entry.KindStandCounted: by(func(s *wordSt, b *entry.StandCounted) string {
		return s.join("counted plants on "+s.name(b.Ground), b.Note)
	}),

	entry.KindAmended: by((*wordSt).amendment),
	entry.KindStruck:  by(func(s *wordSt, b *entry.Struck) string { return s.join("struck "+b.Entry.Short(), b.Why) }),
	entry.KindSettled: by(func(s *wordSt, b *entry.Settled) string {
		return s.join("settled \""+DoubtKind(b.Doubt).Words()+"\": "+s.stands(b), b.Why)
	}),

	entry.KindCounterStood:   by((*wordSt).counterStood),
	entry.KindGroundFinished: by((*wordSt).finished),
	entry.KindDialMarked:     by((*wordSt).dialMarked),
	entry.KindVolumeWeighed: by(func(s *wordSt, b *entry.VolumeWeighed) string {
		return s.measure(b.Volume, b.VolumeIn, b.Heaped) + " of " + s.name(b.Lot) + " weighs " + b.Mass.As(b.MassIn, s.system())
	}),
	entry.KindVolumeFilled: by(func(s *wordSt, b *entry.VolumeFilled) string {
		return s.join("filled "+s.boxSide(b.Box, b.Side)+" with "+s.measure(b.Volume, b.VolumeIn, b.Heaped)+" of "+s.name(b.Lot)+counterAt(b.Reading), b.Note)
	}),
	entry.KindLabelSet: by(func(s *wordSt, b *entry.LabelSet) string {
		return "set the label of lot " + s.name(b.Lot) + labelText(b)
	}),
	entry.KindRecovered: by(func(_ *wordSt, b *entry.Recovered) string { return "came in by the code on paper, on " + b.Name }),
	entry.KindAdmitted:  by((*wordSt).whatAdmitted),
	entry.KindPinned:    by((*wordSt).pinned),
	entry.KindErrand:    by((*wordSt).errand),
}

func (s *wordSt) memberChanged(b *entry.MemberChanged) string {
	if b.Role != entry.NoRole {
		return "changed " + s.name(b.Member) + " to " + b.Role.String()
	}
	return "changed " + s.name(b.Member)
}

func (s *wordSt) chartPoint(b *entry.ChartPointSet) string {
	return fmt.Sprintf("chart of %s: %s at %s gives %s", s.name(b.Box), b.Species, s.dialText(b.Box, 0, b.Dial), s.printed(b))
}

func (s *wordSt) checksSet(b *entry.ChecksSet) string {
	return fmt.Sprintf("set the list of checks, version %d: %s", b.Version, units.Counted(strconv.Itoa(len(b.Items)), "check"))
}

func (s *wordSt) madeUp(b *entry.DrillMoved) string {
	if b.State == entry.Transport {
		return s.join("made up for the road", b.Note)
	}
	return s.join("made up for the field", b.Note)
}

func (s *wordSt) counterReset(b *entry.CounterReset) string {
	return s.join("counter went from "+decimal(int64(b.From))+" to "+decimal(int64(b.To)), b.Why)
}

func (s *wordSt) counterStood(b *entry.CounterStood) string {
	what := "counter stood at " + decimal(int64(b.Reading)) + " when work began"
	if !b.Ground.IsZero() {
		what += " on " + s.name(b.Ground)
	}
	return s.join(what, b.Why)
}

func (s *wordSt) amendment(b *entry.Amended) string {
	if b.Body == nil {
		return "amended " + b.Entry.Short()
	}
	return s.join("amended "+b.Entry.Short()+" to: "+s.what(b.Body), b.Why)
}

func (s *wordSt) dialMarked(b *entry.DialMarked) string {
	if len(b.Marks) == 0 {
		return "dial of " + s.boxSide(b.Box, b.Side) + " has numbers"
	}
	return "dial of " + s.boxSide(b.Box, b.Side) + " has the marks " + strings.Join(b.Marks, ", ")
}
