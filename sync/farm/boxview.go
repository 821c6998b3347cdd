package farm

import (
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func sidesOf(t *thing) (names []string, fed []int64) {
	if txt := t.text(boxSides); txt != "" {
		names = strings.Split(txt, "\x00")
	}
	if txt := t.text(boxRowsFed); txt != "" {
		for _, p := range strings.Split(txt, ",") {
			n, _ := strconv.ParseInt(p, 10, 64)
			fed = append(fed, n)
		}
	}
	return names, fed
}

// boxView is a box but for what depends on what else is being done.
func (s *viewSt) boxView(t *thing, f *flow) Box {
	num := func(n int) int64 { x, _ := t.num(n); return x }
	b := Box{
		ID: t.id, Drill: f.drill.id, Name: t.text(boxName), Meter: t.text(boxMeter),
		DialFrom: units.Dial(num(boxDialFrom)), DialTo: units.Dial(num(boxDialTo)),
		Capacity: units.Volume(num(boxCapacity)), OwnDials: num(boxOwnDials) != 0,
	}
	b.Sides, b.RowsFed = sidesOf(t)
	for i := range t.fields {
		fr := &t.fields[i]
		_, val, ok := fr.shown()
		switch {
		case ok && fr.num == fieldChart && val.n > 0:
			b.Chart = append(b.Chart, ChartPoint{fr.s, units.Dial(fr.n), units.RatePerArea(val.n), val.s})
		case ok && fr.num == fieldMarks && val.s != "":
			b.Marks = append(b.Marks, DialMarks{fr.n, strings.Split(val.s, "\x00")})
		case ok && fr.num == fieldDial && fr.n != 0:
			b.SideDials = append(b.SideDials, SideDial{fr.n, units.Dial(val.n)})
		}
	}
	b.Dial, b.DialSet = f.dials[0].dial, f.dials[0].set
	if x, ok := t.get(field{num: fieldDial}); ok {
		b.Dial, b.DialSet = units.Dial(x.n), true
	}
	deeds := t.deeds.all()
	b.Events = slices.Grow(b.Events, len(deeds))
	for _, d := range deeds {
		b.Events = append(b.Events, s.idOf(d))
		if d.kind == entry.KindVolumeFilled {
			b.Measured = append(b.Measured, Poured{s.idOf(d), s.weighs(d)})
		}
	}
	b.fillIn(f)
	b.went(s, f)
	return b
}

// fillIn fills in what is in the box.
func (b *Box) fillIn(f *flow) {
	layers := 0
	for _, side := range f.seed.Sides {
		layers += len(side.Layers)
	}
	b.Seed = slices.Grow(b.Seed, layers)
	for i, side := range f.seed.Sides {
		n := f.sideNumber(i)
		for _, l := range side.Layers {
			b.Seed = append(b.Seed, Seed{f.lots[l.Lot], n, l.Mass})
		}
		b.Left += side.Mass()
		b.LeftStd += side.Doubt()
		b.LeftOpen = b.LeftOpen || f.leftOpen(i)
	}
	b.LeftLow, b.LeftHigh = f.seed.Left(rate.Confidence)
}

// leftOpen says whether seed went out of a side at no known rate since what was
// in it was known.
func (f *flow) leftOpen(side int) bool {
	return f.seed.Sides[side].Mass() > 0 && slices.ContainsFunc(f.sown[f.anchors[side]:], func(p portion) bool { return p.side == side && p.unknown })
}

// went fills in what went out and was let out.
func (b *Box) went(s *viewSt, f *flow) {
	b.Drained = f.taken
	b.Gap = f.poured - b.Left
	for i := range f.sown {
		p := &f.sown[i]
		o := Out{
			Reading: p.reading, From: p.from, To: p.to, Ground: p.ground, Lot: p.lot, Side: f.sideNumber(p.side),
			Dial: p.dial, DialSet: p.set, Area: p.area, Mass: p.mass, Doubt: p.doubt, Proved: p.known.caught || f.proves(p.lot, p.dial),
			Unknown: p.unknown && p.area > 0, Checked: p.checked,
		}
		if p.known.ok {
			o.Rate = &p.known.est
		}
		b.Out = append(b.Out, o)
		b.Gap -= p.mass
	}
	for _, t := range f.taken {
		b.Gap -= t.Mass
	}
	b.drift(f)
}

// drift compares the last weighed run with what chart and catches alone say,
// and with the runs before it.
func (b *Box) drift(f *flow) {
	last := f.last
	if last == nil {
		return
	}
	b.LastOut = &last.out.Rate
	if o := f.before; o != nil && slices.Equal(o.dials, last.dials) && len(o.dials) == 1 {
		if d, err := rate.DriftBetween(o.out, last.out, last.stretch.Start); err == nil {
			b.Moved = &d
		}
	}
	if len(last.dials) != 1 {
		return
	}
	crank, _, err := f.crank(last.lot, last.dials[0])
	if err != nil {
		return
	}
	bare, err := rate.FieldOf(crank, nil, f.checked())
	if err != nil {
		return
	}
	if d, err := bare.Drift(last.out); err == nil {
		b.Drift = &d
	}
}

// rateNow fills in the rate in force, the aim, and how far the seed goes.
func (b *Box) rateNow(f *flow, v *View) {
	b.Aim = aimOf(v, b.ID, b.Drill)
	for i := range v.Grounds {
		if sum, any := planSum(&v.Grounds[i], b.ID); any && !v.Grounds[i].Finished {
			b.Aims = append(b.Aims, Aim{v.Grounds[i].ID, sum})
		}
	}
	b.Mixed = b.mixed(f, v)
	b.sidesNow(f, v)
	b.together()
	b.OffChart = b.offChart(f)
	if b.Left > 0 {
		b.dry()
	}
}

// offChart is how the catches of the first seed that a chart leads to lie beside
// it, as long as no run was weighed: from then on that tells.
func (b *Box) offChart(f *flow) float64 {
	for i := range b.SidesNow {
		n := &b.SidesNow[i]
		if n.Lot.IsZero() || n.weighed || f.untied(n.Lot, n.Dial) {
			continue
		}
		w := f.ways(n.Lot)
		if times, off := w.crank.OffChart(); off && w.err == nil {
			return times
		}
	}
	return 0
}

// aimOf is the bulk rate that the plan puts through a box: on the ground of
// the drill's latest reading, or on the only ground that the box is planned
// for.
func aimOf(v *View, boxID, drillID entry.ID) units.RatePerArea {
	var working entry.ID
	if d, ok := v.DrillOf(drillID); ok && d.Reading != nil {
		working = d.Reading.Ground
	}
	var sums []units.RatePerArea
	for _, g := range v.Grounds {
		sum, any := planSum(&g, boxID)
		if any && g.ID == working {
			return sum
		}
		if any && !g.Finished {
			sums = append(sums, sum)
		}
	}
	if len(sums) == 1 || len(sums) > 1 && slices.Min(sums) == slices.Max(sums) {
		return sums[0]
	}
	return 0
}

func planSum(g *Ground, boxID entry.ID) (sum units.RatePerArea, any bool) {
	for _, p := range g.Plan {
		if p.Box == boxID && p.Bulk > 0 {
			sum, any = sum+p.Bulk, true
		}
	}
	return sum, any
}

func plannedLot(v *View, boxID entry.ID) entry.ID {
	for _, g := range v.Grounds {
		for _, p := range g.Plan {
			if p.Box == boxID {
				return p.Lot
			}
		}
	}
	return entry.ID{}
}
