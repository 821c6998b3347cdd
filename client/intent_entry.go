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
	switch b := b.(type) {
	case *entry.Filled:
		return Fill{Box: b.Box, Side: b.Side, Lot: b.Lot, Bags: b.Bags, Mass: b.Mass}
	case *entry.VolumeFilled:
		return Fill{Box: b.Box, Side: b.Side, Lot: b.Lot, Volume: b.Volume}
	case *entry.VolumeWeighed:
		return Weigh{Lot: b.Lot, Volume: b.Volume, Mass: b.Mass}
	case *entry.Drained:
		return Drain{Box: b.Box, Side: b.Side, Mass: b.Mass, All: b.All}
	case *entry.LevelRead:
		return Level{Box: b.Box, Side: b.Side, Mass: b.Mass, Share: b.Share}
	case *entry.Caught:
		return Catch{Caught: *b}
	case *entry.StandCounted:
		return Stand{StandCounted: *b}
	case *entry.Noted:
		return Note{Text: b.Text, About: b.About}
	}
	return nil
}

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
