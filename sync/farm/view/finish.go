package view

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Minutes is a time as a range: 10th, 50th and 90th percentile.
type Minutes struct{ P10, P50, P90 float64 }

// Leftover is seed in a box that no plan puts there: at the dial as it is set
// it goes out at a rate of its own, over so much ground.
type Leftover struct {
	Lot  entry.ID
	Mass units.Mass
	Rate rate.RateEstimate
	Over Spread
	// ByBushel says that the rate is the planned seed's by the two bushel
	// weights, since nothing is known of this seed in this box.
	ByBushel bool
}

// A pace is taken from two readings between so many ms apart: nearer, and the
// counter's last digit rules; further, and there was a rest between.
const (
	shortestPace = 3 * 60 * 1000
	longestPace  = 3 * 60 * 60 * 1000
)

// pace is the ground done in an hour, by the drill's last stretch between two
// readings that tells it; 0 where none does.
func (s *Views) pace(d *thing.Thing, pts []work.Point) units.Area {
	for i := len(pts) - 1; i > 0; i-- {
		p := pts[i]
		took := p.Rec.Wall - pts[i-1].Rec.Wall
		if p.Total == p.From || took < shortestPace || took > longestPace {
			continue
		}
		const hour = 60 * 60 * 1000
		if a, err := units.MulDiv(int64(s.Worked(d, &p)), hour, took); err == nil {
			return units.Area(a)
		}
	}
	return 0
}

// ahead fills in what comes next for a box: the dial for its aim, how long the
// seed lasts, what to pour to finish the ground being worked, and what of its
// seed was never planned for it.
func (b *Box) ahead(f *work.Flow, v *View) {
	lot := b.lotNow(f, v)
	if len(b.Mixed) == 0 { // no chart or catch is of a mix
		b.dialForAim(f, lot)
	}
	b.leftovers(f, v)
	if b.Rate == nil {
		return
	}
	d, _ := v.DrillOf(b.Drill)
	if b.AcresLeft != nil && d.Pace > 0 {
		dry := rate.Dry{P10: b.AcresLeft.P10, P50: b.AcresLeft.P50, P90: b.AcresLeft.P90}
		if p10, p50, p90, err := dry.Minutes(d.Pace); err == nil {
			b.MinutesLeft = &Minutes{p10, p50, p90}
		}
	}
	if d.Reading == nil {
		return
	}
	if b.AcresLeft != nil {
		from, ok := d.After(b.AcresLeft.P10)
		to, ok2 := d.After(b.AcresLeft.P90)
		if ok && ok2 {
			b.DryFrom, b.DryTo = from, to
		}
	}
	g, ok := v.GroundOf(d.Reading.Ground)
	if _, planned := PlanSum(&g, b.ID); !ok || !planned || g.Open || g.Finished {
		return
	}
	l, _ := v.LotOf(lot)
	full, _ := f.Full(rate.AllSides)
	if fin, err := f.Seed.ToFinish(max(0, g.Area-g.Done), b.meterings(), full, l.Bag); err == nil {
		b.Finish, b.Working = &fin, g.ID
	}
}

// dialForAim fills in the dial for the aim: where the crank gives it, until a run
// was weighed; from then on, where the field does.
func (b *Box) dialForAim(f *work.Flow, lot entry.ID) {
	weighed := b.catchAim(f, lot)
	if b.Aim > 0 && len(b.MarksOf(0)) > 0 {
		b.markForAim(f, lot)
		return
	}
	w := f.Ways(lot)
	fit, err := w.Crank, w.Err
	if err != nil {
		fit, err = f.Work.WeighedFit(f.Box, lot, f.Outs)
		weighed = true
	}
	if err != nil || b.Aim <= 0 {
		return
	}
	c, err := fit.DialFor(b.CatchAim)
	if err != nil {
		return
	}
	if weighed {
		if there := f.Rate(lot, work.DialAt{Dial: c.Dial, Set: true, Moved: true}); there.Ok {
			c.Rate = there.Field.Ground
		}
		c.Next, c.Why = fit.NextWeighed(c)
	}
	b.ForAim = &c
}

// catchAim fills in what a catch shows where the aim goes out, and says whether a
// run that was weighed tells it.
func (b *Box) catchAim(f *work.Flow, lot entry.ID) (weighed bool) {
	b.CatchAim = b.Aim
	side := b.SidesNow[0]
	crank, _, err := f.Crank(lot, side.Dial)
	known := f.Rate(lot, work.DialAt{Dial: side.Dial, Set: side.DialSet, Moved: true})
	if err != nil || known.Field.Gain == 0 || known.Field.Ground.Rate == 0 {
		return false
	}
	if n, err := units.MulDiv(int64(b.Aim), int64(crank.Standing.Rate), int64(known.Field.Ground.Rate)); err == nil {
		b.CatchAim = units.RatePerArea(n)
	}
	return true
}

// lotNow is the lot that a box is at: at its bottom, or last in it, or planned
// for it.
func (b *Box) lotNow(f *work.Flow, v *View) entry.ID {
	if len(b.Seed) > 0 {
		return b.Seed[0].Lot
	}
	if n := len(f.Sown); n > 0 {
		return f.Sown[n-1].Lot
	}
	return plannedLot(v, b.ID)
}

// leftovers finds seed in the box that no plan puts there, where plans speak
// of the box at all.
func (b *Box) leftovers(f *work.Flow, v *View) {
	planned := plannedLot(v, b.ID)
	if planned.IsZero() {
		return
	}
	for _, sd := range b.Seed {
		if inPlan(v, b.ID, sd.Lot) {
			continue
		}
		l := Leftover{Lot: sd.Lot, Mass: sd.Mass}
		side := b.SidesNow[max(0, sd.Side-1)]
		dial := work.DialAt{Dial: side.Dial, Set: side.DialSet, Moved: true}
		known := f.Rate(sd.Lot, dial)
		if !known.Ok {
			known = f.ByBushel(sd.Lot, planned, dial)
			l.ByBushel = true
		}
		if !known.Ok {
			continue
		}
		dry, err := rate.BurnOff(rate.Weighed{Mass: sd.Mass, Std: sd.Mass / work.FillStd}, known.Field.Counter)
		if err != nil {
			continue
		}
		wide := func(a units.Area) units.Area { return a * units.Area(f.Rows()) / units.Area(side.Rows) }
		l.Rate, l.Over = known.Est, Spread{wide(dry.P10), wide(dry.P50), wide(dry.P90)}
		b.Leftover = append(b.Leftover, l)
	}
}

func inPlan(v *View, boxID, lotID entry.ID) bool {
	for _, g := range v.Grounds {
		for _, p := range g.Plan {
			if p.Box == boxID && p.Lot == lotID {
				return true
			}
		}
	}
	return false
}
