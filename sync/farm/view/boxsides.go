package view

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/work"
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
	Basis     rate.Basis         // what the rate rests on
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
func (b *Box) sidesNow(f *work.Flow, v *View) {
	b.SidesNow = make([]SideNow, len(f.Seed.Sides))
	for i := range b.SidesNow {
		n := &b.SidesNow[i]
		dial := f.DialOf(i)
		*n = SideNow{
			Side: f.SideNumber(i), Rows: b.rowsOf(i, v), part: f.Seed.Sides[i].Rows, Dial: dial.Dial, DialSet: dial.Set,
			Lot: SideLot(b, i, f, v), Left: f.Seed.Sides[i].Mass(),
			LeftStd: f.Seed.Sides[i].Std(), LeftOpen: f.LeftOpen(i),
		}
		known := f.BottomRate(i, dial)
		if n.Left == 0 {
			if known = f.Rate(n.Lot, dial); len(b.Mixed) > 0 {
				known = work.RateKnown{} // one species alone tells nothing of the mix
			}
		}
		if !known.Ok {
			continue
		}
		n.Rate, n.Field, n.Basis = &known.Est, &known.Field.Ground, known.Basis
		n.metering, n.weighed = known.Field.Metering(f.OnLevel), known.Field.Gain > 0
		if areas, _, err := f.Seed.UntilDry(n.metering); err == nil {
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

// SideLot is the lot that a side is at.
func SideLot(b *Box, i int, f *work.Flow, v *View) entry.ID {
	if l := f.Bottom(i); !l.IsZero() {
		return l
	}
	for j := len(f.Sown) - 1; j >= 0; j-- {
		if f.Sown[j].Side == i {
			return f.Sown[j].Lot
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
			b.Basis = rate.FromEachSide
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
