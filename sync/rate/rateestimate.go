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

// Half is half the width of the 90 % interval, upwards, as a share of the rate,
// never below 1.7 %.
func (r RateEstimate) Half() float64 { return halfShare(r.Spread()) }

// Estimate returns the rate as an Estimate in µg/m².
func (r RateEstimate) Estimate() Estimate {
	return Estimate{Value: float64(r.Rate), Std: float64(r.Relative * float64(r.Rate)), Freedom: r.Freedom}
}

// halfLog is half the width of the interval of a rate on the logarithm.
func halfLog(s Spread) float64 { return math.Max(rateFloor, s.half(Confidence)) }

func halfShare(s Spread) float64 { return exp(halfLog(s)) - 1 }

// rateOf is estimateAt for an estimate in µg/m².
func rateOf(e Estimate) (RateEstimate, error) {
	relative := e.Relative()
	return estimateAt(ln(e.Value), Spread{float64(relative * relative), e.Freedom})
}
