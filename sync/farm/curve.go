package farm

import (
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// fit is the box's curve for a lot: the chart of its species, scaled by the
// catches of that lot and, with more doubt, by those of other lots of the
// species; and by what was weighed out of the box at one dial, where outs are
// given.
func (s *State) fit(b, d *thing, l entry.ID, outs []weighedOut) (rate.Fit, error) {
	var ms []rate.Measured
	add := func(m rate.Measured, of entry.ID) {
		of = s.canon(of)
		switch {
		case of == l:
			ms = append(ms, m)
		case s.likeSeed(of, l):
			ms = append(ms, m.OfAnotherLot(of.String()))
		}
	}
	for c := range b.did(entry.KindCaught) {
		c := c.eff.(*entry.Caught)
		if m, err := s.measured(c, d); err == nil {
			add(m, c.Lot)
		}
	}
	for _, o := range outs {
		if len(o.dials) == 1 {
			add(o.out.Measured(o.dials[0]), o.lot)
		}
	}
	return s.fitOf(b, s.speciesOf(l), ms)
}

// fitOf is a box's curve by the chart of a species and some measurements.
func (s *State) fitOf(b *thing, species string, ms []rate.Measured) (rate.Fit, error) {
	bx := rate.Box{Chart: chartOf(b, species)}
	from, _ := b.num(boxDialFrom)
	to, ok := b.num(boxDialTo)
	bx.From, bx.To = units.Dial(from), units.Dial(to)
	if !ok {
		bx.To = widest(b)
	}
	return rate.FitBox(bx, ms)
}

// likeSeed says whether two lots are of one species.
func (s *State) likeSeed(a, b entry.ID) bool {
	a, b = s.canon(a), s.canon(b)
	return a == b || s.speciesOf(a) != "" && strings.EqualFold(s.speciesOf(a), s.speciesOf(b))
}

// widest is a dial range wide enough for all that was set and caught, where
// nobody said what the range is.
func widest(b *thing) units.Dial {
	top := units.Dial(1)
	for i := range b.fields {
		if f := &b.fields[i]; f.num == fieldChart {
			top = max(top, units.Dial(f.n))
		}
	}
	for r := range b.did(entry.KindCaught) {
		top = max(top, r.eff.(*entry.Caught).Dial)
	}
	for r := range b.did(entry.KindDialMoved) {
		top = max(top, r.eff.(*entry.DialMoved).To)
	}
	return top
}

// measured is the rate that a catch shows, with its uncertainty.
func (s *State) measured(c *entry.Caught, d *thing) (rate.Measured, error) {
	cr, err := s.catchRate(c, d)
	if err != nil {
		return rate.Measured{}, err
	}
	return cr.Measured(c.Dial), nil
}

func (s *State) catchRate(c *entry.Caught, d *thing) (rate.CatchRate, error) {
	return CatchOf(c, s.drillFacts(d)).Rate()
}

// CatchOf is a catch as the rate engine takes it, on a drill.
func CatchOf(c *entry.Caught, d Drill) rate.Catch {
	out := rate.Catch{RowMasses: c.RowMasses, Resolution: c.Resolution}
	out.Run = rate.Run{Turns: c.Turns, Distance: c.Distance, Drill: int(d.Rows)}
	if c.Turns > 0 {
		out.Roll = d.Roll
	}
	if len(c.RowMasses) == 0 {
		out.Caught = c.Masses
	}
	switch {
	case d.Spacing > 0:
		out.Rows, out.Spacing = int(c.Rows), d.Spacing
	case d.Width > 0 && d.Rows > 0:
		out.Rows, out.Spacing = int(c.Rows), d.Width/units.Length(d.Rows)
	}
	return out
}

func (s *State) speciesOf(l entry.ID) string {
	if t, ok := s.things[s.canon(l)]; ok {
		return t.text(lotSpecies)
	}
	return ""
}

func chartOf(b *thing, species string) []rate.ChartPoint {
	var pts []rate.ChartPoint
	for i := range b.fields {
		f := &b.fields[i]
		if f.num != fieldChart || !strings.EqualFold(f.s, species) {
			continue
		}
		if _, v, ok := f.shown(); ok && v.n > 0 {
			pts = append(pts, rate.ChartPoint{Dial: units.Dial(f.n), Rate: units.RatePerArea(v.n)})
		}
	}
	return pts
}

// Fields of a box and of a lot, by their numbers in the schema; boxDrill keeps
// the drill's ID as text.
const (
	boxDrill    = 2
	boxName     = 3
	boxMeter    = 4
	boxDialFrom = 5
	boxDialTo   = 6
	boxCapacity = 7
	boxSides    = 8
	boxRowsFed  = 9
	boxOwnDials = 10

	lotName        = 2
	lotSpecies     = 3
	lotVariety     = 4
	lotPurity      = 5
	lotGermination = 6
	lotHard        = 7
	lotCoating     = 8
	lotOtherCrop   = 9
	lotWeedSeed    = 10
	lotInert       = 11
	lotTested      = 12
	lotBag         = 13
	lotPrice       = 14
	lotInoculant   = 15
	lotEndophyte   = 16
	lotSeedsPerKg  = 17
	lotBagPrinted  = 18
)
