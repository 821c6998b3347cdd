package client

import (
	"reflect"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Amend is that an entry was wrong, and what it should say instead: all of it.
// The original stays in the log.
type Amend struct {
	Entry entry.ID
	Body  entry.Body
	Why   string
}

func (a Amend) bodies(on *Farm, look Look, next func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	l, here := on.Line(a.Entry)
	switch {
	case !here:
		r.entry(true, "entry", NotHere, "", a.Entry)
	case l.Now == nil:
		r.entry(true, "entry", Gone, l.What, a.Entry)
	case !farm.Amendable(l.Kind) || a.Body == nil || a.Body.Kind() != l.Kind:
		r.entry(true, "entry", NotAmended, l.What, a.Entry)
	case reflect.DeepEqual(a.Body, l.Now):
		r.entry(true, "entry", NothingNew, l.What, a.Entry)
	default:
		r.list = on.worse(look, next, l.Now, a.Body)
	}
	return r.or(&entry.Amended{Entry: a.Entry, Why: a.Why, Body: a.Body})
}

// worse is what is wrong with a body and was not with the one before it: what
// was let through once may stay as it is.
func (f *Farm) worse(look Look, next func(int) entry.ID, was, now entry.Body) (wrong Refused) {
	before := f.wrongWith(look, next, was)
	return slices.DeleteFunc(f.wrongWith(look, next, now), func(n Refusal) bool {
		return slices.ContainsFunc(before, func(b Refusal) bool { return b.Field == n.Field && b.Why == n.Why })
	})
}

func (f *Farm) wrongWith(look Look, next func(int) entry.ID, b entry.Body) Refused {
	in := saying(b)
	if in == nil {
		return nil
	}
	_, err := in.bodies(f, look, next)
	refused, _ := err.(Refused)
	return refused
}

// saying is the intent that says what a body says; nil where it has none whose
// rules hold for it by itself.
func saying(b entry.Body) Intent {
	if k := b.Kind(); k <= entry.LastKind && saidBy[k] != nil {
		return saidBy[k](b)
	}
	return nil
}

// saidBy has a row for each kind that can be amended: the intent that says what
// a body of it says. A test fails without.
var saidBy = [entry.LastKind + 1]func(entry.Body) Intent{
	entry.KindFilled: says(func(b *entry.Filled) Intent {
		return Fill{Box: b.Box, Side: b.Side, Lot: b.Lot, Bags: b.Bags, Mass: b.Mass}
	}),
	entry.KindVolumeFilled: says(func(b *entry.VolumeFilled) Intent {
		return Fill{Box: b.Box, Side: b.Side, Lot: b.Lot, Volume: b.Volume}
	}),
	entry.KindVolumeWeighed: says(func(b *entry.VolumeWeighed) Intent { return Weigh{Lot: b.Lot, Volume: b.Volume, Mass: b.Mass} }),
	entry.KindDrained:       says(func(b *entry.Drained) Intent { return Drain{Box: b.Box, Side: b.Side, Mass: b.Mass, All: b.All} }),
	entry.KindLevelRead: says(func(b *entry.LevelRead) Intent {
		return Level{Box: b.Box, Side: b.Side, Mass: b.Mass, Share: b.Share}
	}),
	entry.KindCaught:       says(func(b *entry.Caught) Intent { return Catch{Caught: *b} }),
	entry.KindStandCounted: says(func(b *entry.StandCounted) Intent { return Stand{StandCounted: *b} }),
	entry.KindNoted:        says(func(b *entry.Noted) Intent { return Note{Text: b.Text, About: b.About} }),
	entry.KindPinned: says(func(b *entry.Pinned) Intent {
		if !b.Of.IsZero() {
			return nil // whether it is gone is asked of the spot as it was
		}
		return Spot{Pinned: *b}
	}),
	entry.KindErrand: says(func(b *entry.Errand) Intent {
		if !b.Of.IsZero() {
			return nil // likewise
		}
		return Want{Errand: *b}
	}),

	// An intent takes these from what the farm was then, a file sets them, or they
	// are about other entries.
	entry.KindDialMoved: byNone, entry.KindMeterRead: byNone, entry.KindCounterStood: byNone, entry.KindCounterReset: byNone,
	entry.KindGroundFinished: byNone, entry.KindBagsIn: byNone, entry.KindBagsOut: byNone,
	entry.KindGroundSet: byNone, entry.KindDrillSet: byNone, entry.KindBoxSet: byNone, entry.KindChartPointSet: byNone,
	entry.KindLotSet: byNone, entry.KindLabelSet: byNone, entry.KindPlanSet: byNone, entry.KindDialMarked: byNone,
	entry.KindAmended: byNone, entry.KindStruck: byNone, entry.KindSettled: byNone,
}

func says[B entry.Body](in func(B) Intent) func(entry.Body) Intent {
	return func(b entry.Body) Intent {
		of, ok := b.(B)
		if !ok {
			return nil // it could not be read
		}
		return in(of)
	}
}

func byNone(entry.Body) Intent { return nil }

// Strike is that an entry is taken out of the farm's state. It stays in the log.
type Strike struct {
	Entry entry.ID
	Why   string
}

func (s Strike) bodies(on *Farm, _ Look, _ func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	l, here := on.Line(s.Entry)
	r.entry(!here, "entry", NotHere, "", s.Entry)
	r.entry(here && !farm.Strikable(l.Kind), "entry", NotStruck, l.What, s.Entry)
	r.because(s.Why == "", "why", Missing, "")
	return r.or(&entry.Struck{Entry: s.Entry, Why: s.Why})
}
