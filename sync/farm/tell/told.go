package tell

import (
	"turnrow/sync/entry"
	"turnrow/sync/message"
)

// What is what a body says.
func (s *Teller) What(b entry.Body) message.Message {
	if u, ok := b.(*entry.Unknown); ok {
		return message.Of("newer", message.Text(u.Why))
	}
	return tells[b.Kind()](s, b)
}

// tells is told, which some rows read themselves.
var tells *[entry.LastKind + 1]func(*Teller, entry.Body) message.Message

func init() { tells = &told }

func by[B entry.Body](tell func(*Teller, B) message.Message) func(*Teller, entry.Body) message.Message {
	return func(s *Teller, b entry.Body) message.Message { return tell(s, b.(B)) }
}

// told has for each kind, by its number, what its bodies say. A test fails
// without a row.
var told = [...]func(*Teller, entry.Body) message.Message{
	entry.KindFilled: by(func(s *Teller, b *entry.Filled) message.Message {
		return noted(counterAt(message.Of("filled", s.BoxText(b.Box, b.Side), Amount(b), s.Called(b.Lot)), b.Reading), b.Note)
	}),
	entry.KindMeterRead: by(func(s *Teller, b *entry.MeterRead) message.Message { return noted(s.read(b), b.Note) }),
	entry.KindDialMoved: by(func(s *Teller, b *entry.DialMoved) message.Message {
		return noted(counterAt(s.moved(b), b.Reading), b.Why)
	}),
	entry.KindCaught: by(func(s *Teller, b *entry.Caught) message.Message {
		return noted(counterAt(s.caught(b), b.Reading), b.Note)
	}),
	entry.KindNoted: by(func(_ *Teller, b *entry.Noted) message.Message { return message.Of("written", message.Text(b.Text)) }),
	entry.KindLevelRead: by(func(s *Teller, b *entry.LevelRead) message.Message {
		return noted(counterAt(message.Of("saw", Level(b), s.BoxText(b.Box, b.Side)), b.Reading), b.Note)
	}),
	entry.KindItemSigned:   by(func(s *Teller, b *entry.ItemSigned) message.Message { return message.Of("signed", s.item(b)) }),
	entry.KindHoldRaised:   by(func(_ *Teller, b *entry.HoldRaised) message.Message { return noted(message.Of("hold"), b.Why) }),
	entry.KindHoldReleased: by(func(_ *Teller, b *entry.HoldReleased) message.Message { return noted(message.Of("released"), b.Why) }),
	entry.KindHoldSeen:     by((*Teller).holdSeen),

	entry.KindFarmFounded: by(func(_ *Teller, b *entry.FarmFounded) message.Message {
		return message.Of("founded", message.Text(b.Owner), message.Text(b.Name))
	}),
	entry.KindInvited: by(func(s *Teller, b *entry.Invited) message.Message { return message.Of("invited", s.Called(b.Person)) }),
	entry.KindDeviceEnrolled: by(func(_ *Teller, b *entry.DeviceEnrolled) message.Message {
		return message.Of("asked-to-join", message.Text(b.Name))
	}),
	entry.KindMemberAdded: by(func(_ *Teller, b *entry.MemberAdded) message.Message {
		return message.Of("added", message.Text(b.Name), message.TermOf("role", b.Role.String()))
	}),
	entry.KindMemberChanged: by((*Teller).memberChanged),
	entry.KindMemberStopped: by(func(s *Teller, b *entry.MemberStopped) message.Message {
		return noted(message.Of("stopped", s.Called(b.Member)), b.Why)
	}),
	entry.KindDeviceStopped: by(func(s *Teller, b *entry.DeviceStopped) message.Message {
		return noted(message.Of("stopped-device", s.device(b.Last)), b.Why)
	}),
	entry.KindDeviceTakenIn: by(func(s *Teller, b *entry.DeviceTakenIn) message.Message {
		return noted(message.Of("took-in-device", s.device(b.Last)), b.Why)
	}),

	entry.KindGroundSet: by(func(s *Teller, b *entry.GroundSet) message.Message {
		return message.Of("set-ground", s.setName(b.Name, b.Ground))
	}),
	entry.KindDrillSet: by(func(s *Teller, b *entry.DrillSet) message.Message {
		return message.Of("set-drill", s.setName(b.Name, b.Drill))
	}),
	entry.KindBoxSet: by(func(s *Teller, b *entry.BoxSet) message.Message {
		return message.Of("set-box", s.setName(b.Name, b.Box))
	}),
	entry.KindChartPointSet: by((*Teller).chartPoint),
	entry.KindLotSet: by(func(s *Teller, b *entry.LotSet) message.Message {
		return message.Of("set-lot", s.setName(b.Name, b.Lot))
	}),
	entry.KindBagsIn: by(func(s *Teller, b *entry.BagsIn) message.Message {
		return noted(message.Of("bags-came", Bags(b.Bags), s.Called(b.Lot)), b.Note)
	}),
	entry.KindBagsOut: by(func(s *Teller, b *entry.BagsOut) message.Message {
		return noted(message.Of("bags-left", Bags(b.Bags), s.Called(b.Lot)), b.Note)
	}),
	entry.KindPlanSet: by((*Teller).planned),

	entry.KindChecksSet: by((*Teller).checksSet),
	entry.KindHitchBegun: by(func(s *Teller, b *entry.HitchBegun) message.Message {
		return noted(message.Of("began-to-hitch", s.Called(b.Drill)), b.Tractor)
	}),
	entry.KindDrillMoved: by((*Teller).madeUp),
	entry.KindUnhitched: by(func(s *Teller, b *entry.Unhitched) message.Message {
		return noted(message.Of("unhitched", s.Called(b.Drill)), b.Why)
	}),
	entry.KindDrained: by(func(s *Teller, b *entry.Drained) message.Message {
		return noted(counterAt(s.drained(b), b.Reading), b.Where)
	}),
	entry.KindCounterReset: by((*Teller).counterReset),
	entry.KindStandCounted: by(func(s *Teller, b *entry.StandCounted) message.Message {
		return noted(message.Of("counted-plants", s.Called(b.Ground)), b.Note)
	}),

	entry.KindAmended: by((*Teller).amendment),
	entry.KindStruck: by(func(_ *Teller, b *entry.Struck) message.Message {
		return noted(message.Of("struck", message.Text(b.Entry.Short())), b.Why)
	}),
	entry.KindSettled: by(func(s *Teller, b *entry.Settled) message.Message {
		return noted(message.Of("settled", message.TermOf("doubt", b.Doubt), s.stands(b)), b.Why)
	}),

	entry.KindCounterStood:   by((*Teller).counterStood),
	entry.KindGroundFinished: by((*Teller).finished),
	entry.KindDialMarked:     by((*Teller).dialMarked),
	entry.KindVolumeWeighed: by(func(s *Teller, b *entry.VolumeWeighed) message.Message {
		return message.Of("measure-weighs", Measure(b.Volume, b.VolumeIn, b.Heaped), s.Called(b.Lot), message.MassAs(b.Mass, b.MassIn))
	}),
	entry.KindVolumeFilled: by(func(s *Teller, b *entry.VolumeFilled) message.Message {
		return noted(counterAt(message.Of("filled", s.BoxText(b.Box, b.Side), Measure(b.Volume, b.VolumeIn, b.Heaped), s.Called(b.Lot)), b.Reading), b.Note)
	}),
	entry.KindLabelSet: by((*Teller).label),
	entry.KindRecovered: by(func(_ *Teller, b *entry.Recovered) message.Message {
		return message.Of("came-by-paper", message.Text(b.Name))
	}),
	entry.KindAdmitted: by((*Teller).whatAdmitted),
	entry.KindPinned:   by((*Teller).pinned),
	entry.KindErrand:   by((*Teller).errand),
}

// device is the device whose last entry is named.
func (s *Teller) device(last entry.Mark) message.Name {
	return message.Name{Name: s.DeviceName(last.Log.Device())}
}

func (s *Teller) memberChanged(b *entry.MemberChanged) message.Message {
	if b.Role != entry.NoRole {
		return message.Of("changed-role", s.Called(b.Member), message.TermOf("role", b.Role.String()))
	}
	return message.Of("changed", s.Called(b.Member))
}

func (s *Teller) chartPoint(b *entry.ChartPointSet) message.Message {
	return message.Of("chart-point", s.Called(b.Box), message.Text(b.Species), s.Mark(b.Box, 0, b.Dial), printed(b))
}

func (s *Teller) checksSet(b *entry.ChecksSet) message.Message {
	return message.Of("checks-set", message.Whole(b.Version), message.Of("checks", message.Whole(len(b.Items))))
}

func (s *Teller) madeUp(b *entry.DrillMoved) message.Message {
	if b.State == entry.Transport {
		return noted(message.Of("made-up.road"), b.Note)
	}
	return noted(message.Of("made-up.field"), b.Note)
}

func (s *Teller) counterReset(b *entry.CounterReset) message.Message {
	return noted(message.Of("counter-went", message.Decimal(b.From), message.Decimal(b.To)), b.Why)
}

func (s *Teller) counterStood(b *entry.CounterStood) message.Message {
	what := message.Of("counter-began", message.Decimal(b.Reading))
	if !b.Ground.IsZero() {
		what = message.Of("counter-began-on", message.Decimal(b.Reading), s.Called(b.Ground))
	}
	return noted(what, b.Why)
}

func (s *Teller) amendment(b *entry.Amended) message.Message {
	of := message.Text(b.Entry.Short())
	if b.Body == nil {
		return message.Of("amended", of)
	}
	return noted(message.Of("amended-to", of, s.What(b.Body)), b.Why)
}

func (s *Teller) dialMarked(b *entry.DialMarked) message.Message {
	box := s.BoxText(b.Box, b.Side)
	if len(b.Marks) == 0 {
		return message.Of("dial-numbers", box)
	}
	return message.Of("dial-marks", box, Texts(b.Marks))
}

// holdSeen names a hold by why it was raised, several by their number.
func (s *Teller) holdSeen(b *entry.HoldSeen) message.Message {
	if len(b.Holds) == 1 {
		if h, ok := s.latest(b.Holds[0]).(*entry.HoldRaised); ok {
			return noted(message.Of("saw-hold"), h.Why)
		}
	}
	return message.Of("saw-holds", message.Whole(len(b.Holds)))
}

// Texts is what people wrote, in a row.
func Texts(all []string) message.Message {
	args := make([]message.Arg, len(all))
	for i, t := range all {
		args[i] = message.Text(t)
	}
	return message.Message{ID: message.Commas, Args: args}
}
