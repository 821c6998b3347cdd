package rate

import (
	"math"

	"turnrow/sync/units"
)

// Confidence is the level of the intervals that a crew is shown.
const Confidence = 0.90

// greatestRate is the greatest rate that is ever returned, in µg/m²: 100,000
// kg/ha, beyond any seeding.
const greatestRate = 1e10

// RateEstimate is a rate with its 90 % interval, which is even on the
// logarithm: as many times more as times less.
type RateEstimate struct {
	Rate, Low, High units.RatePerArea
	Relative        float64 // standard deviation of its natural logarithm: about a share of Rate
	Freedom         float64 // its degrees of freedom
}

// Spread is the spread of the rate's natural logarithm.
func (r RateEstimate) Spread() Spread { return Spread{float64(r.Relative * r.Relative), r.Freedom} }

// Half is half the width of the 90 % interval, upwards, as a share of the rate,
// never below 1.7 %.
func (r RateEstimate) Half() float64 { return halfShare(r.Spread()) }

// Estimate returns the rate as an Estimate in µg/m².
func (r RateEstimate) Estimate() Estimate {
	return Estimate{Value: float64(r.Rate), Std: float64(r.Relative * float64(r.Rate)), Freedom: r.Freedom}
}

// halfLog is half the width of the interval of a rate on the logarithm.
func halfLog(s Spread) float64 { return math.Max(ln(1+rateFloor), s.half(Confidence)) }

func halfShare(s Spread) float64 { return exp(halfLog(s)) - 1 }

// rateWith returns a rate in µg/m² with its interval.
func rateWith(value float64, s Spread) (RateEstimate, error) {
	if !(value > 0 && value <= greatestRate) {
		return RateEstimate{}, refuse("rate in µg/m²", value, "more than 0 and up to %g", greatestRate)
	}
	far := exp(math.Min(halfLog(s), lnSmallest))
	return RateEstimate{
		Rate:     units.RatePerArea(math.Round(value)),
		Low:      units.RatePerArea(math.Round(value / far)),
		High:     units.RatePerArea(math.Round(math.Min(value*far, greatestRate))),
		Relative: math.Sqrt(s.Var),
		Freedom:  s.DF,
	}, nil
}

// rateOf is rateWith for an estimate in µg/m².
func rateOf(e Estimate) (RateEstimate, error) {
	relative := e.Relative()
	return rateWith(e.Value, Spread{float64(relative * relative), e.Freedom})
}
