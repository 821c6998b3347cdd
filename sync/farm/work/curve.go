package work

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// CrankFit is the box's curve for a lot: the chart of its species, scaled by
// the catches of that lot and, with more doubt, by those of other lots of the
// species. It is by catches at a standstill where there are any, and by those
// made while moving where there are not.
func (s *Work) CrankFit(b, d *thing.Thing, l entry.ID) (rate.Fit, error) {
	standing, moving := s.caughtOf(b, d, l)
	if len(standing) == 0 && len(moving) > 0 {
		return s.fitOf(b, s.SpeciesOf(l), measuredOf(moving))
	}
	return s.fitOf(b, s.SpeciesOf(l), measuredOf(standing))
}

// movingFit is the same by catches made while moving, where there are some
// beside those made at a standstill.
func (s *Work) movingFit(b, d *thing.Thing, l entry.ID) (rate.Fit, bool) {
	standing, moving := s.caughtOf(b, d, l)
	if len(standing) == 0 || len(moving) == 0 {
		return rate.Fit{}, false
	}
	fit, err := s.fitOf(b, s.SpeciesOf(l), measuredOf(moving))
	return fit, err == nil
}

// WeighedFit is the curve by what was weighed out of the box at one dial, for a
// box of which neither chart nor catch is known.
func (s *Work) WeighedFit(b *thing.Thing, l entry.ID, outs []weighedOut) (rate.Fit, error) {
	var ms []rate.Measured
	for _, o := range outs {
		if len(o.Dials) != 1 {
			continue
		}
		if m, ok := s.OfLot(o.Out.Measured(o.Dials[0]), o.Lot, l); ok {
			ms = append(ms, m)
		}
	}
	return s.fitOf(b, s.SpeciesOf(l), ms)
}

// caughtAt is a catch as a measurement.
type caughtAt struct {
	rec *order.Rec
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
func (s *Work) caughtOf(b, d *thing.Thing, l entry.ID) (standing, moving []caughtAt) {
	for r := range b.Did(entry.KindCaught) {
		c := r.Eff.(*entry.Caught)
		m, err := s.measured(c, d)
		if err != nil {
			continue
		}
		if s.isSure(r, c) {
			m = m.Sure()
		}
		m, ok := s.OfLot(m, c.Lot, l)
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

// OfLot is a measurement made with one lot as one of another, if the two are
// alike.
func (s *Work) OfLot(m rate.Measured, of, l entry.ID) (rate.Measured, bool) {
	switch of = s.Canon(of); {
	case of == l:
		return m, true
	case s.LikeSeed(of, l):
		return m.OfAnotherLot(of.String()), true
	}
	return m, false
}

// fitOf is a box's curve by the chart of a species and some measurements.
func (s *Work) fitOf(b *thing.Thing, species string, ms []rate.Measured) (rate.Fit, error) {
	return rate.FitBox(s.CurveBox(b, species), ms)
}

// CurveBox is a box as the rate engine takes it, with the chart of a species.
func (s *Work) CurveBox(b *thing.Thing, species string) rate.Box {
	bx := rate.Box{Chart: ChartOf(b, species), Marks: s.MarksOf(b.ID, 0)}
	from, _ := b.Num(thing.BoxDialFrom)
	to, ok := b.Num(thing.BoxDialTo)
	bx.From, bx.To = units.Dial(from), units.Dial(to)
	if !ok {
		bx.To = widest(b)
	}
	return bx
}

// LikeSeed says whether two lots are of one species.
func (s *Work) LikeSeed(a, b entry.ID) bool {
	a, b = s.Canon(a), s.Canon(b)
	return a == b || s.SpeciesOf(a) != "" && strings.EqualFold(s.SpeciesOf(a), s.SpeciesOf(b))
}

// widest is a dial range wide enough for all that was set and caught, where
// nobody said what the range is.
func widest(b *thing.Thing) units.Dial {
	top := units.Dial(1)
	for i := range b.Fields {
		if f := &b.Fields[i]; f.Num == thing.FieldChart {
			top = max(top, units.Dial(f.N))
		}
	}
	for r := range b.Did(entry.KindCaught) {
		top = max(top, r.Eff.(*entry.Caught).Dial)
	}
	for r := range b.Did(entry.KindDialMoved) {
		top = max(top, r.Eff.(*entry.DialMoved).To)
	}
	return top
}

// measured is the rate that a catch shows, with its uncertainty.
func (s *Work) measured(c *entry.Caught, d *thing.Thing) (rate.Measured, error) {
	cr, err := s.CatchRate(c, d)
	if err != nil {
		return rate.Measured{}, err
	}
	return cr.Measured(c.Dial), nil
}

// CatchRate is what a catch comes to; an error where it comes to nothing.
func (s *Work) CatchRate(c *entry.Caught, d *thing.Thing) (rate.CatchRate, error) {
	return CatchOf(c, s.DrillFacts(d)).Rate()
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

// SpeciesOf is the species of a lot; empty where nobody said.
func (s *Work) SpeciesOf(l entry.ID) string {
	if t, ok := s.ByID[s.Canon(l)]; ok {
		return t.Text(thing.LotSpecies)
	}
	return ""
}

// ChartOf is a box's chart for a species, by the dial.
func ChartOf(b *thing.Thing, species string) []rate.ChartPoint {
	var pts []rate.ChartPoint
	for i := range b.Fields {
		f := &b.Fields[i]
		if f.Num != thing.FieldChart || !strings.EqualFold(f.S, species) {
			continue
		}
		if _, v, ok := f.Shown(); ok && v.N > 0 {
			pts = append(pts, rate.ChartPoint{Dial: units.Dial(f.N), Rate: units.RatePerArea(v.N)})
		}
	}
	return pts
}

// isSure says whether a person said of a catch that it is as it stands now.
func (s *Work) isSure(r *order.Rec, b *entry.Caught) bool {
	figure := entry.Some(int64(CaughtInAll(b)))
	return s.AnySettled(conflict.UnlikelyCatch, r, func(by *entry.Settled) bool { return conflict.Confirms(by, figure) })
}

// Charted says whether a setting lies within a chart.
func Charted(points []rate.ChartPoint, d units.Dial) bool {
	return slices.ContainsFunc(points, func(p rate.ChartPoint) bool { return p.Dial <= d }) &&
		slices.ContainsFunc(points, func(p rate.ChartPoint) bool { return p.Dial >= d })
}

// CaughtInAll is the mass that a catch wrote down, its repeats added up.
func CaughtInAll(b *entry.Caught) (sum units.Mass) {
	ms := b.Masses
	if len(b.RowMasses) > 0 {
		ms = b.RowMasses
	}
	for _, m := range ms {
		sum += m
	}
	return sum
}
