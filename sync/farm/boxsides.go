package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// SideNow is one compartment of a box as it stands now, by its own dial,
// content and rows.
type SideNow struct {
	Side      int64 // from 1; 0 for the only one of a box
	Rows      int   // that it feeds, all sides alike where nobody said how many; 0 where they do not divide so
	Dial      units.Dial
	DialSet   bool               // somebody wrote the dial
	Lot       entry.ID           // at its bottom, or last in it, or planned for the box; zero where nothing says
	Left      units.Mass         // in it
	LeftStd   units.Mass         // standard uncertainty of Left
	LeftOpen  bool               // as Box.LeftOpen
	Rate      *rate.RateEstimate // to the area under its rows; nil where nothing says
	Field     *rate.RateEstimate // likewise, as Box.Field
	Basis     string             // what the rate rests on
	AcresLeft *Spread            // ground of the whole box's width until it is dry; nil where no rate is known

	part     int // of the box that it feeds, beside the other sides' parts
	metering rate.Metering
	weighed  bool
}

// OneDial says whether all of a box's sides stand at one dial, or all at none
// that is known.
func (b Box) OneDial() bool {
	for _, n := range b.SidesNow {
		if n.Dial != b.SidesNow[0].Dial || n.DialSet != b.SidesNow[0].DialSet {
			return false
		}
	}
	return true
}

// sidesNow fills in each side as it stands.
func (b *Box) sidesNow(f *flow, v *View) {
	b.SidesNow = make([]SideNow, len(f.seed.Sides))
	for i := range b.SidesNow {
		n := &b.SidesNow[i]
		dial := f.dialOf(i)
		*n = SideNow{
			Side: f.sideNumber(i), Rows: b.rowsOf(i, v), part: f.seed.Sides[i].Rows, Dial: dial.dial, DialSet: dial.set,
			Lot: b.sideLot(i, f, v), Left: f.seed.Sides[i].Mass(),
			LeftStd: f.seed.Sides[i].Doubt(), LeftOpen: f.leftOpen(i),
		}
		known := f.bottomRate(i, dial)
		if n.Left == 0 {
			if known = f.rate(n.Lot, dial); len(b.Mixed) > 0 {
				known = rateKnown{} // one species alone tells nothing of the mix
			}
		}
		if !known.ok {
			continue
		}
		n.Rate, n.Field, n.Basis = &known.est, &known.field.Ground, known.basis
		n.metering, n.weighed = known.field.Metering(f.onLevel), known.field.Gain > 0
		if areas, _, err := f.seed.UntilDry(n.metering); err == nil {
			n.AcresLeft = &Spread{areas[i].P10, areas[i].P50, areas[i].P90}
		}
	}
}

// rowsOf is how many rows a side feeds.
func (b *Box) rowsOf(i int, v *View) int {
	if i < len(b.RowsFed) {
		return int(b.RowsFed[i])
	}
	d, _ := v.DrillOf(b.Drill)
	if n := int64(max(1, len(b.Sides))); d.Rows%n == 0 {
		return int(d.Rows / n)
	}
	return 0
}

// dialOf is where a side's dial stands: the later of what was set for the box
// and for the side, else as it was last seen. A box that is split keeps its
// dial for its sides.
func (f *flow) dialOf(i int) dialAt {
	var latest *rec
	d := f.dials[i]
	for _, side := range []int64{0, int64(i + 1)} {
		g := f.box.reg(field{num: fieldDial, n: side}, false)
		if g == nil {
			continue
		}
		if r, v, ok := g.shown(); ok && (latest == nil || latest.compare(r) < 0) {
			latest, d = r, dialAt{units.Dial(v.n), true, true}
		}
	}
	return d
}

// sideLot is the lot that a side is at.
func (b *Box) sideLot(i int, f *flow, v *View) entry.ID {
	if l := f.bottom(i); !l.IsZero() {
		return l
	}
	for j := len(f.sown) - 1; j >= 0; j-- {
		if f.sown[j].side == i {
			return f.sown[j].lot
		}
	}
	return b.lotNow(f, v)
}

// together fills in the box's own rate from its sides', by the rows that each
// feeds.
func (b *Box) together() {
	var rows int
	for i := range b.SidesNow {
		if b.SidesNow[i].Rate == nil {
			return
		}
		rows += b.SidesNow[i].part
	}
	first := &b.SidesNow[0]
	if len(b.SidesNow) == 1 {
		b.Rate, b.Field, b.Basis, b.Weighed = first.Rate, first.Field, first.Basis, first.weighed
		return
	}
	var est, field rate.RateEstimate
	b.Basis, b.Weighed = first.Basis, true
	for i := range b.SidesNow {
		n := &b.SidesNow[i]
		est, field = est.PlusSide(*n.Rate, n.part, rows), field.PlusSide(*n.Field, n.part, rows)
		b.Weighed = b.Weighed && n.weighed
		if n.Basis != b.Basis {
			b.Basis = "each side by itself"
		}
	}
	b.Rate, b.Field = &est, &field
}

// dry fills in the area until the first compartment runs dry.
func (b *Box) dry() {
	for i := range b.SidesNow {
		n := &b.SidesNow[i]
		if n.AcresLeft == nil {
			b.AcresLeft, b.DryFirst = nil, 0
			return
		}
		if b.AcresLeft == nil || n.AcresLeft.P50 < b.AcresLeft.P50 {
			b.AcresLeft, b.DryFirst = n.AcresLeft, n.Side
		}
	}
}

// meterings is what each side's books go by.
func (b *Box) meterings() []rate.Metering {
	out := make([]rate.Metering, len(b.SidesNow))
	for i := range out {
		out[i] = b.SidesNow[i].metering
	}
	return out
}
