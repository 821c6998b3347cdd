package work

import (
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// DialOf is where a side's dial stands: the later of what was set for the box
// and for the side, else as it was last seen. A box that is split keeps its
// dial for its sides.
func (f *Flow) DialOf(i int) DialAt {
	var latest *order.Rec
	d := f.Dials[i]
	for _, side := range []int64{0, int64(i + 1)} {
		g := f.Box.Reg(thing.Field{Num: thing.FieldDial, N: side}, false)
		if g == nil {
			continue
		}
		if r, v, ok := g.Shown(); ok && (latest == nil || latest.Compare(r) < 0) {
			latest, d = r, DialAt{units.Dial(v.N), true, true}
		}
	}
	return d
}

// SidesOf is the names of a box's sides, and how many rows each feeds; none of an undivided box.
func SidesOf(t *thing.Thing) (names []string, fed []int64) {
	if txt := t.Text(thing.BoxSides); txt != "" {
		names = strings.Split(txt, "\x00")
	}
	if txt := t.Text(thing.BoxRowsFed); txt != "" {
		for _, p := range strings.Split(txt, ",") {
			n, _ := strconv.ParseInt(p, 10, 64)
			fed = append(fed, n)
		}
	}
	return names, fed
}

// LeftOpen says whether seed went out of a side at no known rate since what was
// in it was known.
func (f *Flow) LeftOpen(side int) bool {
	return f.Seed.Sides[side].Mass() > 0 && slices.ContainsFunc(f.Sown[f.anchors[side]:], func(p Portion) bool { return p.Side == side && p.Unknown })
}

// ByBushel is the rate of a lot by that of the planned one, as their bushel weights go.
func (f *Flow) ByBushel(lot, planned entry.ID, d DialAt) RateKnown {
	own := f.Rate(planned, d)
	ownWeight, ok1 := bushelWeight(f.Work.SpeciesOf(planned))
	otherWeight, ok2 := bushelWeight(f.Work.SpeciesOf(lot))
	if !own.Ok || !ok1 || !ok2 {
		return RateKnown{}
	}
	est, err := rate.RateByBushel(own.Field.Counter, ownWeight, otherWeight)
	return RateKnown{Est: est, Field: rate.Field{Ground: est, Counter: est}, Ok: err == nil}
}
