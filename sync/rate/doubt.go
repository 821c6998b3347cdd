package rate

import "math"

// Doubt is where the uncertainty of a catch comes from, each as a relative
// standard uncertainty (0.01 is 1 %).
type Doubt struct {
	Scale, Turns, Rows, Repeats float64
}

// doubt is the relative standard uncertainty from each source. What repeats
// share (the rows) is not made smaller by repeating; what differs between them
// (scale, turns) is.
func (c Catch) doubt(masses []float64) Doubt {
	n := float64(len(masses))
	d := Doubt{
		Scale: c.scaleDoubt() / mean(masses) / math.Sqrt(n),
		Turns: c.lengthDoubt() / math.Sqrt(n),
		Rows:  c.rowDoubt(),
	}
	if n > 1 {
		d.Repeats = sd(masses) / mean(masses) / math.Sqrt(n)
	}
	return d
}

// scaleDoubt is the standard uncertainty in grams of one mass.
func (c Catch) scaleDoubt() float64 {
	weighings := float64(max(1, c.Weighings))
	if len(c.Caught) == 0 {
		weighings *= float64(len(c.RowMasses))
	}
	return c.resolution().Grams() * math.Sqrt(weighings/12)
}

// lengthDoubt is the relative standard uncertainty of the distance.
func (c Catch) lengthDoubt() float64 {
	if c.Distance != 0 {
		part := c.PartDistance
		if part == 0 {
			part = oneFoot
		}
		return part.Metres() / c.Distance.Metres() / math.Sqrt(3)
	}
	part := c.PartTurn
	if part == 0 {
		part = eighthOfTurn
	}
	return part.Float() / c.Turns.Float() / math.Sqrt(3)
}

// rowDoubt is the relative standard uncertainty from rows standing for others.
func (c Catch) rowDoubt() float64 {
	if c.Width != 0 && c.Drill == 0 {
		return 0 // the whole width was caught
	}
	k := float64(c.rowsCaught())
	spread := usualRowSpread
	if len(c.RowMasses) > 1 {
		grams := make([]float64, len(c.RowMasses))
		for i, m := range c.RowMasses {
			grams[i] = m.Grams()
		}
		spread = sd(grams) / mean(grams)
	}
	return spread / math.Sqrt(k) * math.Sqrt(c.unseen(k))
}

// rowsCaught is how many rows the catch holds; a width with no row masses
// holds them all.
func (c Catch) rowsCaught() int {
	switch {
	case c.Rows != 0:
		return c.Rows
	case len(c.RowMasses) != 0:
		return len(c.RowMasses)
	}
	return max(1, c.Drill)
}

// unseen is the finite population correction, 1 − caught ÷ all: 1 where the
// rows of the drill are not known.
func (c Catch) unseen(caught float64) float64 {
	if c.Drill == 0 {
		return 1
	}
	return math.Max(0, 1-caught/float64(c.Drill))
}

// rowFreedom is the degrees of freedom of the spread between rows.
func (c Catch) rowFreedom() float64 {
	if len(c.RowMasses) > 1 {
		return float64(len(c.RowMasses) - 1)
	}
	return Known
}

// estimate puts the doubts together about a rate. Repeats that agree by luck
// do not make the catch better than its scale and turns allow: the greater of
// the two counts.
func (c Catch) estimate(rate float64, d Doubt, repeats int) Estimate {
	std, freedom := combine(part{d.Scale, Known}, part{d.Turns, Known})
	if d.Repeats > std {
		std, freedom = d.Repeats, float64(repeats-1)
	}
	std, freedom = combine(part{std, freedom}, part{d.Rows, c.rowFreedom()})
	return Estimate{Value: rate, Std: std * rate, Freedom: freedom}
}
