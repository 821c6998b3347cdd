package farm

import (
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// crankFit is the box's curve for a lot: the chart of its species, scaled by
// the catches of that lot and, with more doubt, by those of other lots of the
// species. It is by catches at a standstill where there are any, and by those
// made while moving where there are not.
func (s *workSt) crankFit(b, d *thing, l entry.ID) (rate.Fit, error) {
	standing, moving := s.caughtOf(b, d, l)
	if len(standing) == 0 && len(moving) > 0 {
		return s.fitOf(b, s.speciesOf(l), measuredOf(moving))
	}
	return s.fitOf(b, s.speciesOf(l), measuredOf(standing))
}

// movingFit is the same by catches made while moving, where there are some
// beside those made at a standstill.
func (s *workSt) movingFit(b, d *thing, l entry.ID) (rate.Fit, bool) {
	standing, moving := s.caughtOf(b, d, l)
	if len(standing) == 0 || len(moving) == 0 {
		return rate.Fit{}, false
	}
	fit, err := s.fitOf(b, s.speciesOf(l), measuredOf(moving))
	return fit, err == nil
}

// weighedFit is the curve by what was weighed out of the box at one dial, for a
// box of which neither chart nor catch is known.
func (s *workSt) weighedFit(b *thing, l entry.ID, outs []weighedOut) (rate.Fit, error) {
	var ms []rate.Measured
	for _, o := range outs {
		if len(o.dials) != 1 {
			continue
		}
		if m, ok := s.ofLot(o.out.Measured(o.dials[0]), o.lot, l); ok {
			ms = append(ms, m)
		}
	}
	return s.fitOf(b, s.speciesOf(l), ms)
}

// caughtAt is a catch as a measurement.
type caughtAt struct {
	rec *rec
	m   rate.Measured
}

func measuredOf(list []caughtAt) []rate.Measured {
	ms := make([]rate.Measured, len(list))
	for i, c := range list {
		ms[i] = c.m
	}
	return ms
}

// caughtOf is what was caught from a box of a lot and of others like it, by how
// it was caught.
func (s *workSt) caughtOf(b, d *thing, l entry.ID) (standing, moving []caughtAt) {
	for r := range b.did(entry.KindCaught) {
		c := r.eff.(*entry.Caught)
		m, err := s.measured(c, d)
		if err != nil {
			continue
		}
		if s.isSure(r, c) {
			m = m.Sure()
		}
		m, ok := s.ofLot(m, c.Lot, l)
		switch {
		case !ok:
		case m.Way() == rate.Moving:
			moving = append(moving, caughtAt{r, m})
		default:
			standing = append(standing, caughtAt{r, m})
		}
	}
	return standing, moving
}

// ofLot is a measurement made with one lot as one of another, if the two are
// alike.
func (s *workSt) ofLot(m rate.Measured, of, l entry.ID) (rate.Measured, bool) {
	switch of = s.canon(of); {
	case of == l:
		return m, true
	case s.likeSeed(of, l):
		return m.OfAnotherLot(of.String()), true
	}
	return m, false
}

// fitOf is a box's curve by the chart of a species and some measurements.
func (s *workSt) fitOf(b *thing, species string, ms []rate.Measured) (rate.Fit, error) {
	return rate.FitBox(s.curveBox(b, species), ms)
}

// curveBox is a box as the rate engine takes it, with the chart of a species.
func (s *workSt) curveBox(b *thing, species string) rate.Box {
	bx := rate.Box{Chart: chartOf(b, species), Marks: s.marksOf(b.id, 0)}
	from, _ := b.num(boxDialFrom)
	to, ok := b.num(boxDialTo)
	bx.From, bx.To = units.Dial(from), units.Dial(to)
	if !ok {
		bx.To = widest(b)
	}
	return bx
}

// likeSeed says whether two lots are of one species.
func (s *workSt) likeSeed(a, b entry.ID) bool {
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
func (s *workSt) measured(c *entry.Caught, d *thing) (rate.Measured, error) {
	cr, err := s.catchRate(c, d)
	if err != nil {
		return rate.Measured{}, err
	}
	return cr.Measured(c.Dial), nil
}

func (s *workSt) catchRate(c *entry.Caught, d *thing) (rate.CatchRate, error) {
	return CatchOf(c, s.drillFacts(d)).Rate()
}

// CatchOf is a catch as the rate engine takes it, on a drill.
func CatchOf(c *entry.Caught, d Drill) rate.Catch {
	out := rate.Catch{Caught: c.Masses, RowMasses: c.RowMasses, Resolution: c.Resolution, Weighings: int(c.Weighings), Way: wayOf(c)}
	out.Run = rate.Run{Turns: c.Turns, Distance: c.Distance, Drill: int(d.Rows), Rows: int(c.Rows), Width: c.Width}
	for _, n := range c.RowNumbers {
		out.Which = append(out.Which, int(n))
	}
	if c.Turns > 0 {
		out.Roll = d.Roll
	}
	switch {
	case d.Spacing > 0:
		out.Spacing = d.Spacing
	case d.Width > 0 && d.Rows > 0:
		out.Spacing = d.Width / units.Length(d.Rows)
	}
	return out
}

// wayOf is how a catch was made: where nobody said, turns of the wheel are made
// at a standstill, and a distance is driven.
func wayOf(c *entry.Caught) rate.Way {
	if c.Way == entry.Moving || c.Way == entry.WayNotSaid && c.Distance > 0 {
		return rate.Moving
	}
	return rate.Standing
}

func (s *workSt) speciesOf(l entry.ID) string {
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

	lotName       = 2
	lotSpecies    = 3
	lotVariety    = 4
	lotTested     = 5
	lotBag        = 6
	lotPrice      = 7
	lotInoculant  = 8
	lotEndophyte  = 9
	lotSeedsPerKg = 10
	lotBagPrinted = 11
)
