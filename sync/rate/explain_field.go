package rate

import (
	"strconv"

	"turnrow/sync/units"
)

// ExplainStand writes the sum of StandOf step by step. It fails where StandOf
// does.
func ExplainStand(frame units.Area, counts []int64, system units.System) ([]string, error) {
	s, err := StandOf(frame, counts)
	if err != nil {
		return nil, err
	}
	values := make([]float64, len(counts))
	for i, c := range counts {
		values[i] = float64(c)
	}
	average := mean(values)
	p := &paper{system: system}
	p.line("mean count (frames: %d) = %s plants to the frame", s.Frames, figure(average, 4))
	p.line("stand = %s ÷ frame %s = %s", figure(average, 4), p.area(frame.SquareMetres()), p.density(s.Mean.PerSquareMetre()))
	if s.Frames == 1 {
		p.line("one frame cannot show clumps: exact limits of a count of plants scattered by chance")
	} else {
		p.line("spread between frames s = %s; clumping c = ((frames − 1) × (s² − mean) ÷ mean² + %d × %g) ÷ (frames + %d), not below 0 = %s",
			figure(sd(values), 4), clumpWeight, clumpSpread, clumpWeight-1, figure(s.Clumping, 3))
		p.line("plants that count in full: 1 ÷ (1 ÷ %s + c ÷ frames, wider for few frames) = %s; exact limits of a count of so many",
			figure(float64(average*float64(s.Frames)), 6), figure(s.plants, 4))
	}
	if s.FramesNeeded > 0 {
		p.line("frames for ±%s = (1.96 ÷ %g)² × (1 ÷ mean + c) = %d", percent(FramesWithin), FramesWithin, s.FramesNeeded)
	}
	p.line("95 times in 100 between %s and %s", p.density(s.Low.PerSquareMetre()), p.density(s.High.PerSquareMetre()))
	return p.lines, nil
}

// ExplainEvenness writes the sum of EvennessOf step by step. It fails where
// EvennessOf does.
func ExplainEvenness(rows []units.Mass, system units.System) ([]string, error) {
	e, err := EvennessOf(rows)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	p.line("mean of %d rows = %s", len(rows), p.mass(e.Mean.Grams()))
	p.line("standard deviation = %s; coefficient of variation = deviation ÷ mean = %s", p.mass(e.Deviation.Grams()), percent(e.CV))
	for i, d := range e.Departures {
		p.line("row %d: %s, %s off the mean", i+1, p.mass(rows[i].Grams()), percent(d))
	}
	for _, row := range e.Blocked {
		p.line("row %s is below half of the mean: likely blocked", strconv.Itoa(row))
	}
	return p.lines, nil
}

// Explain writes the sum of Out step by step. It fails where Out does.
func (s Stretch) Explain(system units.System) ([]string, error) {
	o, err := s.Out()
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	p.line("went out = start %s + poured %s − drained %s − left %s = %s", p.mass(s.Start.Mass.Grams()), p.mass(s.Poured.Mass.Grams()),
		p.mass(s.Drained.Mass.Grams()), p.mass(s.Left.Mass.Grams()), p.mass(o.Mass.Grams()))
	p.line("rate by the counter = %s ÷ %s = %s", p.mass(o.Mass.Grams()), p.field(s.Area.SquareMetres()), p.microgram(float64(o.Rate.Rate)))
	p.line("nine times in ten between %s and %s, if the counter is right", p.microgram(float64(o.Rate.Low)), p.microgram(float64(o.Rate.High)))
	return p.lines, nil
}
