package rate

import "math"

// Estimate is a figure with its uncertainty, as in the Guide to the Expression of
// Uncertainty in Measurement (the GUM, JCGM 100:2008). Value and Std share
// whatever unit the function that returns it states.
type Estimate struct {
	Value float64
	// Std is the standard uncertainty (one standard deviation) of Value.
	Std float64
	// Freedom is the degrees of freedom of Std: how many independent
	// differences it was estimated from, 1 or more, or Known.
	Freedom float64
}

// Relative returns Std as a fraction of the value's size.
func (e Estimate) Relative() float64 { return e.Std / math.Abs(e.Value) }

// Interval returns the bounds between which the true figure lies with
// probability level (0.9 for 90 %): Value ± t × Std with Student's t (the GUM,
// annex G). Bounds are NaN for a level outside 0..1 or Freedom below 1.
func (e Estimate) Interval(level float64) (low, high float64) {
	reach := float64(twoSidedT(level, e.Freedom) * e.Std)
	return e.Value - reach, e.Value + reach
}

// Half returns half the width of the interval at level as a fraction of the
// value: 0.05 means ±5 %.
func (e Estimate) Half(level float64) float64 {
	return float64(twoSidedT(level, e.Freedom) * e.Relative())
}

// Scaled returns the estimate times an exact factor.
func (e Estimate) Scaled(factor float64) Estimate {
	return Estimate{Value: float64(e.Value * factor), Std: float64(e.Std * math.Abs(factor)), Freedom: e.Freedom}
}

// Plus returns e + f for figures that do not depend on one another.
func (e Estimate) Plus(f Estimate) Estimate {
	std, freedom := combine(e.part(), f.part())
	return Estimate{Value: e.Value + f.Value, Std: std, Freedom: freedom}
}

// Minus returns e − f for figures that do not depend on one another.
func (e Estimate) Minus(f Estimate) Estimate { return e.Plus(f.Scaled(-1)) }

// Times returns e × f for figures that do not depend on one another: relative
// uncertainties add in squares (the GUM, 5.1.6).
func (e Estimate) Times(f Estimate) Estimate {
	std, freedom := combine(
		part{float64(e.Std * math.Abs(f.Value)), e.Freedom},
		part{float64(f.Std * math.Abs(e.Value)), f.Freedom})
	return Estimate{Value: float64(e.Value * f.Value), Std: std, Freedom: freedom}
}

// Over returns e ÷ f for figures that do not depend on one another and f well
// away from zero.
func (e Estimate) Over(f Estimate) Estimate {
	size := math.Abs(f.Value)
	std, freedom := combine(
		part{e.Std / size, e.Freedom},
		part{f.Std * math.Abs(e.Value) / float64(size*size), f.Freedom})
	return Estimate{Value: e.Value / f.Value, Std: std, Freedom: freedom}
}

// part is one source's share of a standard uncertainty.
type part struct{ std, freedom float64 }

func (e Estimate) part() part { return part{e.Std, e.Freedom} }

// combine adds standard uncertainties in squares (the GUM, 5.1.2) and gives
// the sum's degrees of freedom by the Welch-Satterthwaite formula (G.4.1).
func combine(parts ...part) (std, freedom float64) {
	variance, spread := 0.0, 0.0
	for _, p := range parts {
		square := float64(p.std * p.std)
		variance += square
		spread += float64(square*square) / p.freedom
	}
	if variance == 0 {
		return 0, Known
	}
	return math.Sqrt(variance), math.Min(Known, float64(variance*variance)/spread)
}
