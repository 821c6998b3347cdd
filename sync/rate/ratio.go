package rate

import (
	"math"

	"turnrow/sync/units"
)

// Ratio returns a ÷ b of two quantities of one kind: how many times b is a.
// It is ±Inf or NaN where b is 0.
func Ratio[T ~int64](a, b T) float64 { return float64(a) / float64(b) }

// Scaled returns a quantity times a factor, rounded to its unit.
func Scaled[T ~int64](q T, by float64) T { return T(math.Round(float64(q) * by)) }

// Over says whether a quantity is more than so many times another.
func Over[T ~int64](q, of T, times float64) bool { return float64(q) > times*float64(of) }

// FarApart says whether the greater of two quantities above 0 is more than so
// many times the smaller.
func FarApart[T ~int64](a, b T, times float64) bool { return Over(a, b, times) || Over(b, a, times) }

// Off returns how far two quantities above 0 lie apart, as a fraction of the
// smaller.
func Off[T ~int64](a, b T) float64 { return Ratio(max(a, b), min(a, b)) - 1 }

// PlusSide returns the rate of some sides of a box with another side's added,
// which feeds rows of the box's rows in all. Sides share chart, wheel and scale:
// what is wrong with one is wrong with the other, so that their uncertainties are not
// averaged away. A part out of range adds nothing.
func (r RateEstimate) PlusSide(side RateEstimate, rows, of int) RateEstimate {
	part := func(x units.RatePerArea) units.RatePerArea {
		n, err := units.MulDiv(int64(x), int64(rows), int64(of))
		if err != nil {
			return 0
		}
		return units.RatePerArea(n)
	}
	share := part(side.Rate)
	sum := RateEstimate{Rate: r.Rate + share, Low: r.Low + part(side.Low), High: r.High + part(side.High), Freedom: side.Freedom}
	if r.Freedom > 0 {
		sum.Freedom = math.Min(r.Freedom, side.Freedom)
	}
	if sum.Rate > 0 {
		was := float64(r.Relative * float64(r.Rate))
		sum.Relative = (was + float64(side.Relative*float64(share))) / float64(sum.Rate)
	}
	return sum
}
