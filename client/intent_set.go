package client

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// What is set of a thing changes what is set alone, so that two people can
// change different details apart from each other: an intent leaves out what is
// so already.

// Lot is what somebody says of a lot of seed, by the tag on its bag. A zero
// LotSet.Lot makes a new one, which needs a name.
type Lot struct {
	entry.LotSet
	// Label is all that the label says, with one line of seed, as far as
	// somebody read it: what is left open stays as it is.
	Label entry.Opt[entry.LabelSet]
	// Sure is that the species is one that nothing was published of.
	Sure bool
}

func (l Lot) bodies(on *Farm, look Look, next func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	now, here := v.LotOf(l.Lot)
	isNew := l.Lot.IsZero()
	r.because(!isNew && !here, "lot", NotHere, "")
	r.name(isNew, l.Name)
	r.species(l.Species, now.Species, l.Sure)
	r.day(on, "tested", "test date", l.Tested, TestYears)
	set := l.LotSet
	unlessNew(isNew, &set.Name, now.Name)
	unlessNew(false, &set.Species, now.Species)
	unlessNew(false, &set.Variety, now.Variety)
	unlessNew(false, &set.Tested, now.Tested)
	unlessNew(false, &set.Bag, now.Bag)
	unlessNew(false, &set.BagPrinted, now.BagPrinted)
	unlessNew(false, &set.Price, now.Price)
	unlessNew(false, &set.Inoculant, now.Inoculant)
	unlessNew(false, &set.Endophyte, now.Endophyte)
	unlessNew(false, &set.SeedsPerKg, now.SeedsPerKg)
	var bodies []entry.Body
	if isNew || set != (entry.LotSet{Lot: l.Lot}) {
		bodies = append(bodies, &set)
	}
	if l.Label.Set {
		if b := r.label(&now, l.Label.Val, isNew, next); b != nil {
			bodies = append(bodies, b)
		}
	}
	r.because(len(bodies) == 0, "", NothingNew, now.Name)
	return r.or(bodies...)
}

// name refuses a thing without a name.
func (r *refusing) name(isNew bool, name entry.Opt[string]) {
	r.because((isNew || name.Set) && strings.TrimSpace(name.Val) == "", "name", Missing, "")
}

// species refuses one that nothing was published of, which is most often a slip
// of the pen, unless somebody is sure or it stands there already.
func (r *refusing) species(name entry.Opt[string], now string, sure bool) {
	if name.Val != "" && name.Val != now && !sure {
		_, err := rate.FindSpecies(name.Val)
		r.failed(err, "species", SpeciesUnknown, name.Val)
	}
}

// label is what a label says that it did not before; nil for nothing.
func (r *refusing) label(now *farm.Lot, want entry.LabelSet, isNew bool, next func(int) entry.ID) *entry.LabelSet {
	if want.Lot = now.ID; isNew {
		want.Lot = next(0)
	}
	tag := tagBy(now.Tag, &want)
	if _, err := tag.CountedCoating(); tag.Purity > 0 && errors.As(err, new(*rate.CoatingUnclear)) {
		r.failed(err, "counted", CoatingUnclear, now.Name)
	}
	b := now.Relabelled(want)
	r.because(b != nil && len(b.Lines) > 0 && want.Lines[0].Species == "", "species", NoSpecies, now.Name)
	return b
}

// tagBy is a tag as a label makes it.
func tagBy(tag rate.Tag, want *entry.LabelSet) rate.Tag {
	line := want.Lines[0]
	for _, s := range []struct {
		to   *units.Share
		what entry.Opt[units.Share]
	}{{&tag.Purity, line.Share}, {&tag.Germination, line.Germination}, {&tag.Hard, line.Hard}, {&tag.Coating, line.Coating},
		{&tag.OtherCrop, want.OtherCrop}, {&tag.WeedSeed, want.WeedSeed}, {&tag.Inert, want.Inert}} {
		if s.what.Set {
			*s.to = s.what.Val
		}
	}
	if want.CoatingCounted != entry.CoatingNotSaid {
		tag.Counted = rate.CoatingCounted(want.CoatingCounted)
	}
	return tag
}

// Ground is what somebody says of a piece of ground. A zero GroundSet.Ground
// makes a new one, which needs a name. A boundary is set whatever it was.
type Ground struct{ entry.GroundSet }

func (g Ground) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	set := g.GroundSet
	now, here := v.GroundOf(set.Ground)
	isNew := set.Ground.IsZero()
	r.because(!isNew && !here, "ground", NotHere, "")
	r.name(isNew, set.Name)
	unlessNew(isNew, &set.Name, now.Name)
	unlessNew(false, &set.State, now.State)
	unlessNew(false, &set.Notes, now.Notes)
	unlessNew(false, &set.Spray, now.Spray)
	unlessNew(false, &set.Area, now.Area)
	if now.SlopeSet {
		unlessNew(false, &set.Slope, now.Slope)
	}
	some := set.Name.Set || set.State.Set || set.Notes.Set || set.Spray.Set || set.Area.Set || set.Slope.Set || len(set.Boundary) > 0
	r.because(!isNew && !some, "", NothingNew, now.Name)
	return r.or(&set)
}

// unlessNew leaves out what is so already, but for what a new thing needs.
func unlessNew[T comparable](needed bool, o *entry.Opt[T], now T) {
	if !needed && o.Set && o.Val == now {
		*o = entry.Opt[T]{}
	}
}

// Plan is what somebody plans for a piece of ground: seeds that go into the
// plan, are changed in it or taken out of it, depth and nurse crop.
type Plan struct{ entry.PlanSet }

func (p Plan) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	set := p.PlanSet
	now := r.ground(v, set.Ground)
	for i := range set.Components {
		r.component(v, &set.Components[i])
	}
	unlessNew(false, &set.Depth, now.Depth)
	unlessNew(false, &set.Nurse, now.Nurse)
	r.because(len(set.Components) == 0 && !set.Depth.Set && !set.Nurse.Set, "", NothingNew, now.Name)
	return r.or(&set)
}

// component checks one seed of a plan: its lot, its box and its one aim.
func (r *refusing) component(v *farm.View, c *entry.Component) {
	r.lot(v, c.Lot)
	if !r.because(c.Box.IsZero(), "box", BoxMissing, "") {
		r.box(v, c.Box, 0)
	}
	aims := given(c.Live > 0, c.Seeds > 0)
	r.because(!c.Removed && aims != 1 || c.Removed && aims > 0, "live", OneAim, "")
}

// Chart is all that is printed under a box's lid for one species. Points that
// are there and not among these are taken away.
type Chart struct {
	Box     entry.ID
	Species string
	Points  []farm.ChartPoint
}

func (ch Chart) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	b := r.box(v, ch.Box, 0)
	r.because(strings.TrimSpace(ch.Species) == "", "species", Missing, "")
	now := slices.DeleteFunc(slices.Clone(b.Chart), func(p farm.ChartPoint) bool { return !strings.EqualFold(p.Species, ch.Species) })
	at := func(list []farm.ChartPoint, d units.Dial) int {
		return slices.IndexFunc(list, func(p farm.ChartPoint) bool { return p.Dial == d })
	}
	var bodies []entry.Body
	for i, p := range ch.Points {
		r.because(at(ch.Points, p.Dial) < i, "dial", PointTwice, words.Mark(b, 0, p.Dial))
		r.because(p.Rate == 0, "rate", NoAmount, words.Mark(b, 0, p.Dial))
		if was := at(now, p.Dial); was < 0 || now[was].Rate != p.Rate || now[was].Printed != p.Printed {
			bodies = append(bodies, &entry.ChartPointSet{Box: ch.Box, Species: ch.Species, Dial: p.Dial, Rate: p.Rate, Printed: p.Printed})
		}
	}
	for _, p := range now {
		if at(ch.Points, p.Dial) < 0 {
			bodies = append(bodies, &entry.ChartPointSet{Box: ch.Box, Species: ch.Species, Dial: p.Dial})
		}
	}
	ch.rises(&r, b)
	r.because(len(bodies) == 0, "", NothingNew, b.Name)
	return r.or(bodies...)
}

// rises refuses rates that do not rise from point to point, or fall where the
// dial is reversed: nothing can be read off such a chart.
func (ch Chart) rises(r *refusing, b farm.Box) {
	list := slices.SortedFunc(slices.Values(ch.Points), func(a, b farm.ChartPoint) int { return cmp.Compare(a.Dial, b.Dial) })
	list = slices.DeleteFunc(list, func(p farm.ChartPoint) bool { return p.Rate == 0 })
	for i := 1; i < len(list); i++ {
		if a, next := list[i-1], list[i]; a.Dial < next.Dial && (a.Rate == next.Rate || (a.Rate > next.Rate) != (b.DialTo < b.DialFrom)) {
			r.because(true, "rate", NotRising, words.Mark(b, 0, next.Dial))
			return
		}
	}
}
