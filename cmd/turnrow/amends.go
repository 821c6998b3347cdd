package main

import (
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// amending is how a kind is amended here: what of a body the flags change, or
// why none do.
type amending struct {
	change func(*amender, entry.Body) entry.Body
	not    string
}

// amends has a row for each kind that can be amended. A test fails without.
var amends = [entry.LastKind + 1]amending{
	entry.KindFilled: amended(func(a *amender, b *entry.Filled) {
		a.box(&b.Box, &b.Side)
		a.lot(&b.Lot)
		a.amount(&b.Bags, &b.Mass, &b.MassIn)
		amendOpt(a, "reading", &b.Reading, units.ParseReading)
		a.words("note", &b.Note)
	}),
	entry.KindMeterRead: amended(func(a *amender, b *entry.MeterRead) {
		amendTo(a, "reading", &b.Reading, units.ParseReading)
		a.ground(&b.Ground)
		a.words("note", &b.Note)
	}),
	entry.KindDialMoved: amended(func(a *amender, b *entry.DialMoved) {
		a.box(&b.Box, &b.Side)
		a.dial(b.Box, b.Side, &b.To)
		amendOpt(a, "reading", &b.Reading, units.ParseReading)
	}),
	entry.KindCaught: amended((*amender).caught),
	entry.KindNoted:  amended(func(a *amender, b *entry.Noted) { a.words("text", &b.Text) }),
	entry.KindLevelRead: amended(func(a *amender, b *entry.LevelRead) {
		a.box(&b.Box, &b.Side)
		a.level(b)
		amendOpt(a, "reading", &b.Reading, units.ParseReading)
		a.words("note", &b.Note)
	}),
	entry.KindDrained: amended(func(a *amender, b *entry.Drained) {
		a.box(&b.Box, &b.Side)
		a.mass(&b.Mass, &b.MassIn)
		amendOpt(a, "reading", &b.Reading, units.ParseReading)
		a.words("where", &b.Where)
	}),
	entry.KindStandCounted: amended(func(a *amender, b *entry.StandCounted) {
		a.ground(&b.Ground)
		amendTo(a, "frame", &b.Frame, units.ParseArea)
		a.counts(b)
		a.words("note", &b.Note)
	}),
	entry.KindVolumeWeighed: amended(func(a *amender, b *entry.VolumeWeighed) {
		a.lot(&b.Lot)
		a.volume(&b.Volume, &b.VolumeIn, &b.Heaped)
		a.mass(&b.Mass, &b.MassIn)
	}),
	entry.KindVolumeFilled: amended(func(a *amender, b *entry.VolumeFilled) {
		a.box(&b.Box, &b.Side)
		a.lot(&b.Lot)
		a.volume(&b.Volume, &b.VolumeIn, &b.Heaped)
		amendOpt(a, "reading", &b.Reading, units.ParseReading)
		a.words("note", &b.Note)
	}),
	entry.KindPinned: amended(func(a *amender, b *entry.Pinned) {
		if b.Of.IsZero() {
			a.ground(&b.Ground)
			a.length("length", &b.Length, &b.LengthIn)
			a.length("width", &b.Width, &b.WidthIn)
			if a.takes("row") {
				b.Row = a.Row("row")
			}
		}
		a.words("text", &b.Text)
	}),
	entry.KindErrand: amended(func(a *amender, b *entry.Errand) {
		if b.Of.IsZero() {
			a.lot(&b.Lot)
			a.amount(&b.Bags, &b.Mass, &b.MassIn)
			a.box(&b.Box, &b.Side)
			a.words("gate", &b.Gate)
		}
		a.words("note", &b.Note)
	}),

	entry.KindGroundSet:      {not: setAgain},
	entry.KindDrillSet:       {not: setAgain},
	entry.KindBoxSet:         {not: setAgain},
	entry.KindChartPointSet:  {not: setAgain},
	entry.KindLotSet:         {not: setAgain},
	entry.KindLabelSet:       {not: setAgain},
	entry.KindPlanSet:        {not: setAgain},
	entry.KindDialMarked:     {not: setAgain},
	entry.KindBagsIn:         {not: writtenAgain},
	entry.KindBagsOut:        {not: writtenAgain},
	entry.KindCounterReset:   {not: writtenAgain},
	entry.KindCounterStood:   {not: writtenAgain},
	entry.KindGroundFinished: {not: writtenAgain},
	entry.KindAmended:        {not: "what it was said of is amended again"},
	entry.KindStruck:         {not: "what it was said of is amended, which brings it back"},
	entry.KindSettled:        {not: "the doubt is settled again"},
}

const (
	setAgain     = "it is set again, from a file"
	writtenAgain = "it is a line or two: it is struck, and written again"
)

// amended is the row of a kind of which flags change a copy.
func amended[T any, B interface {
	*T
	entry.Body
}](change func(*amender, B)) amending {
	return amending{change: func(a *amender, now entry.Body) entry.Body {
		b := B(new(T))
		*b = *now.(B)
		change(a, b)
		return b
	}}
}
