package view

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// boxView is a box but for what depends on what else is being done.
func (s *Views) boxView(t *thing.Thing, f *work.Flow) Box {
	num := func(n int) int64 { x, _ := t.Num(n); return x }
	b := Box{
		ID: t.ID, Drill: f.Drill.ID, Name: t.Text(thing.BoxName), Meter: t.Text(thing.BoxMeter),
		DialFrom: units.Dial(num(thing.BoxDialFrom)), DialTo: units.Dial(num(thing.BoxDialTo)),
		Capacity: units.Volume(num(thing.BoxCapacity)), OwnDials: num(thing.BoxOwnDials) != 0,
	}
	b.Sides, b.RowsFed = work.SidesOf(t)
	for i := range t.Fields {
		fr := &t.Fields[i]
		_, val, ok := fr.Shown()
		switch {
		case ok && fr.Num == thing.FieldChart && val.N > 0:
			b.Chart = append(b.Chart, ChartPoint{fr.S, units.Dial(fr.N), units.RatePerArea(val.N), val.S})
		case ok && fr.Num == thing.FieldMarks && val.S != "":
			b.Marks = append(b.Marks, work.DialMarks{Side: fr.N, Marks: strings.Split(val.S, "\x00")})
		case ok && fr.Num == thing.FieldDial && fr.N != 0:
			b.SideDials = append(b.SideDials, SideDial{fr.N, units.Dial(val.N)})
		}
	}
	b.Dial, b.DialSet = f.Dials[0].Dial, f.Dials[0].Set
	if x, ok := t.Get(thing.Field{Num: thing.FieldDial}); ok {
		b.Dial, b.DialSet = units.Dial(x.N), true
	}
	deeds := t.Deeds.All()
	b.Events = slices.Grow(b.Events, len(deeds))
	for _, d := range deeds {
		b.Events = append(b.Events, s.IDOf(d))
		if d.Kind == entry.KindVolumeFilled {
			b.Measured = append(b.Measured, Poured{s.IDOf(d), s.Weighs(d)})
		}
	}
	b.fillIn(f)
	b.went(s, f)
	return b
}

// fillIn fills in what is in the box.
func (b *Box) fillIn(f *work.Flow) {
	layers := 0
	for _, side := range f.Seed.Sides {
		layers += len(side.Layers)
	}
	b.Seed = slices.Grow(b.Seed, layers)
	for i, side := range f.Seed.Sides {
		n := f.SideNumber(i)
		for _, l := range side.Layers {
			b.Seed = append(b.Seed, Seed{f.Lots[l.Lot], n, l.Mass})
		}
		b.Left += side.Mass()
		b.LeftStd += side.Std()
		b.LeftOpen = b.LeftOpen || f.LeftOpen(i)
	}
	b.LeftLow, b.LeftHigh = f.Seed.Left(rate.Confidence)
	b.Full, _ = f.Full(rate.AllSides)
}

// went fills in what went out and was let out.
func (b *Box) went(s *Views, f *work.Flow) {
	b.Drained = f.Drained
	b.Gap = f.Poured - b.Left
	for i := range f.Sown {
		p := &f.Sown[i]
		o := Out{
			Reading: p.Reading, From: p.From, To: p.To, Ground: p.Ground, Lot: p.Lot, Side: f.SideNumber(p.Side),
			Dial: p.Dial, DialSet: p.Set, Area: p.Area, Mass: p.Mass, Std: p.Std, Proved: p.Known.Caught || f.Proves(p.Lot, p.Dial),
			Unknown: p.Unknown && p.Area > 0, Checked: p.Checked,
		}
		if p.Known.Ok {
			o.Rate = &p.Known.Est
		}
		b.Out = append(b.Out, o)
		b.Gap -= p.Mass
	}
	for _, t := range f.Drained {
		b.Gap -= t.Mass
	}
	b.drift(f)
}

// drift compares the last weighed run with what chart and catches alone say,
// and with the runs before it.
func (b *Box) drift(f *work.Flow) {
	last := f.Last
	if last == nil {
		return
	}
	b.LastOut = &last.Out.Rate
	if o := f.Before; o != nil && slices.Equal(o.Dials, last.Dials) && len(o.Dials) == 1 {
		if d, err := rate.DriftBetween(o.Out, last.Out, last.Stretch.Start); err == nil {
			b.Moved = &d
		}
	}
	if len(last.Dials) != 1 {
		return
	}
	crank, _, err := f.Crank(last.Lot, last.Dials[0])
	if err != nil {
		return
	}
	bare, err := rate.FieldOf(crank, nil, f.Checked())
	if err != nil {
		return
	}
	if d, err := bare.Drift(last.Out); err == nil {
		b.Drift = &d
	}
}

// rateNow fills in the rate in force, the aim, and how far the seed goes.
func (b *Box) rateNow(f *work.Flow, v *View) {
	b.Aim = aimOf(v, b.ID, b.Drill)
	for i := range v.Grounds {
		if sum, any := PlanSum(&v.Grounds[i], b.ID); any && !v.Grounds[i].Finished {
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
func (b *Box) offChart(f *work.Flow) float64 {
	for i := range b.SidesNow {
		n := &b.SidesNow[i]
		if n.Lot.IsZero() || n.weighed || f.Untied(n.Lot, n.Dial) {
			continue
		}
		w := f.Ways(n.Lot)
		if times, off := w.Crank.OffChart(); off && w.Err == nil {
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
		sum, any := PlanSum(&g, boxID)
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

// PlanSum is what a piece's plan puts through a box in all, live seed.
func PlanSum(g *Ground, boxID entry.ID) (sum units.RatePerArea, any bool) {
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

// mixed is the species that a box is to give together: those that lie mixed at
// the bottom of a side or, where nothing else is in it, that the plan of the
// ground being worked puts into it; none where it gives one alone.
func (b *Box) mixed(f *work.Flow, v *View) (names []string) {
	for i := range f.Seed.Sides {
		for _, l := range f.Seed.Sides[i].Bottom() {
			if sp := f.Work.SpeciesOf(f.Lots[l.Lot]); sp != "" {
				names = append(names, f.Species.Of(sp))
			}
		}
		slices.Sort(names)
		if names = slices.Compact(names); len(names) > 1 {
			return names
		}
	}
	var working entry.ID
	if d, ok := v.DrillOf(b.Drill); ok && d.Reading != nil {
		working = d.Reading.Ground
	}
	for _, g := range f.Work.ByKind[thing.Ground] {
		if planned := f.Work.SpeciesPlanned(g, f.Box, f.Species); len(planned) > 1 && (working.IsZero() || g.ID == working) &&
			!slices.ContainsFunc(names, func(sp string) bool { return !slices.Contains(planned, sp) }) {
			return planned
		}
	}
	return nil
}
