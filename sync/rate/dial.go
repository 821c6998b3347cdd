package rate

import (
	"math"

	"turnrow/sync/units"
)

// Confidence is the level of the intervals that a crew is shown.
const Confidence = 0.90

// GoWithin is how close, as a fraction either way, the rate must be known for
// the advice to go: a calibration passes within 5 % of its target (University
// of Massachusetts Amherst Extension, Rotary Spreader Calibration Procedures).
const GoWithin = 0.05

// NearCatch is how far, as a fraction of the rate, the nearest measurement may
// lie from a dial that is called proved. Further off, the chart's shape is
// all there is, and its doubt is not in the interval. Our own rule, no source.
const NearCatch = 0.25

// greatestRate is the greatest rate that is ever returned, in µg/m²: 100,000
// kg/ha, beyond any seeding.
const greatestRate = 1e10

// RateEstimate is a rate with its 90 % interval. A rate is never below zero,
// so neither is Low.
type RateEstimate struct {
	Rate, Low, High units.RatePerArea
	Relative        float64 // standard uncertainty as a fraction of Rate
	Freedom         float64 // its degrees of freedom
}

// Estimate returns the rate as an Estimate in µg/m².
func (r RateEstimate) Estimate() Estimate {
	return Estimate{Value: float64(r.Rate), Std: float64(r.Relative * float64(r.Rate)), Freedom: r.Freedom}
}

// rateOf rounds an estimate in µg/m² to a RateEstimate.
func rateOf(e Estimate) (RateEstimate, error) {
	if !(e.Value > 0 && e.Value <= greatestRate) {
		return RateEstimate{}, refuse("rate in µg/m²", e.Value, "more than 0 and up to %g", greatestRate)
	}
	low, high := e.Interval(Confidence)
	return RateEstimate{
		Rate:     units.RatePerArea(math.Round(e.Value)),
		Low:      units.RatePerArea(math.Round(math.Max(0, low))),
		High:     units.RatePerArea(math.Round(math.Min(high, greatestRate))),
		Relative: e.Relative(),
		Freedom:  e.Freedom,
	}, nil
}

// OutOfReach is the decision where a dial ends before the rate that is wanted.
const OutOfReach Decision = "out of reach"

// DialChoice is where to set a dial for a rate.
type DialChoice struct {
	Dial      units.Dial   // where to set it
	Low, High units.Dial   // 90 % interval, no further than the dial goes
	Rate      RateEstimate // what the box gives at Dial
	Reached   bool         // false: the target is beyond the dial, Dial is its nearest end
	Next      Decision
	Why       string // the reason for Next, one clause
}

// RateAt returns what the box gives at a dial. It fails with a *RangeError for
// a dial beyond the box's range or one at which the box gives nothing.
func (f Fit) RateAt(d units.Dial) (RateEstimate, error) {
	if d < f.box.From || d > f.box.To {
		return RateEstimate{}, refuse("dial", d, "from %v to %v", f.box.From, f.box.To)
	}
	e := f.at(d.Float())
	if !(e.Value > 0) {
		return RateEstimate{}, refuse("dial", d, "where the box gives seed, by the %s", f.basis)
	}
	return rateOf(e)
}

// at returns the rate in µg/m² at a dial in marks.
func (f Fit) at(x float64) Estimate {
	if f.line != nil {
		return Estimate{Value: f.line.at(x), Std: math.Sqrt(f.line.varianceAt(x)), Freedom: f.freedom}
	}
	return f.scale.Scaled(f.shape.at(x))
}

// DialFor returns the dial for a target rate, with the interval of dials that
// the target may need and the advice: go where the target is reached, the
// measurements agree, one lies near (NearCatch) and the rate is known within
// GoWithin; otherwise catch once more. It fails with a *RangeError for a
// target that is not above zero.
func (f Fit) DialFor(target units.RatePerArea) (DialChoice, error) {
	if target <= 0 {
		return DialChoice{}, refuse("target rate", target, "more than 0")
	}
	from, to := f.box.From.Float(), f.box.To.Float()
	t := twoSidedT(Confidence, f.at(to).Freedom)
	seek := func(sign float64) units.Dial {
		x := bisect(from, to, float64(target), func(x float64) float64 {
			e := f.at(x)
			return e.Value + float64(sign*t*e.Std)
		})
		return units.Dial(math.Round(x * 1000))
	}
	choice := DialChoice{Dial: seek(0), Low: seek(1), High: seek(-1)}
	choice.Reached = f.at(from).Value <= float64(target) && float64(target) <= f.at(to).Value
	var err error
	if choice.Rate, err = f.RateAt(choice.Dial); err != nil {
		return DialChoice{}, err
	}
	choice.Next, choice.Why = f.next(choice)
	return choice, nil
}

// next weighs a choice.
func (f Fit) next(c DialChoice) (Decision, string) {
	switch {
	case !c.Reached:
		return OutOfReach, "the dial ends before the target; this is the nearest rate it gives"
	case len(f.measured) == 0:
		return CatchAgain, "nothing was caught yet"
	case !f.agree:
		return CatchAgain, "the catches disagree with one another"
	case !f.near(c.Dial):
		return CatchAgain, "no catch lies near this dial"
	case c.Rate.Estimate().Half(Confidence) > GoWithin:
		return CatchAgain, "the rate is not known within 5 % yet"
	}
	return Go, "the rate is known within 5 %"
}

// near says whether a measurement lies near a dial, in the rate it gives.
func (f Fit) near(d units.Dial) bool {
	rate := f.at(d.Float()).Value
	for _, m := range f.measured {
		if math.Abs(f.at(m.Dial.Float()).Value-rate) <= NearCatch*rate {
			return true
		}
	}
	return false
}
