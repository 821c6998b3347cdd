package rate

import (
	"math"

	"turnrow/sync/units"
)

// Tail is the chance, on either side, of running dry before P10 and after P90.
const Tail = 0.10

// greatestArea bounds every area that is returned, in cm²: 10,000,000 ha.
const greatestArea = 1e15

// Dry is the ground that the whole drill can still cover until a compartment
// runs dry: with one chance in ten it does so before P10, with one in ten
// after P90.
type Dry struct {
	P10, P50, P90 units.Area
}

// Minutes returns the same as minutes of work at so much ground an hour. It
// fails with a *RangeError for a pace that is not above zero.
func (d Dry) Minutes(perHour units.Area) (p10, p50, p90 float64, err error) {
	if perHour <= 0 {
		return 0, 0, 0, refuse("ground done in an hour", perHour, "more than 0")
	}
	minutes := func(a units.Area) float64 { return float64(a) * 60 / float64(perHour) }
	return minutes(d.P10), minutes(d.P50), minutes(d.P90), nil
}

// UntilDry returns, for each compartment, the ground until it runs dry at a
// rate (of all the rows that the box feeds), and which compartment runs dry
// first. The rate's error is taken as the one that the books were kept with: a
// box that gives more than thought both holds less and empties faster. It
// fails with a *RangeError for a rate that is not above zero or too uncertain
// to say anything (over half of it).
func (s Seed) UntilDry(r RateEstimate) (dry []Dry, first int, err error) {
	if err := checkSteady(r); err != nil {
		return nil, 0, err
	}
	dry = make([]Dry, len(s.Sides))
	for i, side := range s.Sides {
		perArea := s.part(i) * float64(r.Rate) * milligramsPerCm2
		if dry[i], err = side.untilDry(perArea, r); err != nil {
			return nil, 0, err
		}
		if dry[i].P50 < dry[first].P50 {
			first = i
		}
	}
	return dry, first, nil
}

// milligramsPerCm2 turns µg/m² into mg/cm².
const milligramsPerCm2 = 1e-7

// mostUncertain is the relative standard uncertainty beyond which a rate says
// nothing of when a box runs dry: t times it comes near the whole rate.
const mostUncertain = 0.5

func checkSteady(r RateEstimate) error {
	switch {
	case r.Rate <= 0:
		return refuse("rate", r.Rate, "more than 0")
	case !(r.Relative >= 0 && r.Relative <= mostUncertain):
		return refuse("relative uncertainty of the rate", r.Relative, "from 0 to %g", mostUncertain)
	case !(r.Freedom >= 1):
		return refuse("degrees of freedom of the rate", r.Freedom, "1 or more")
	}
	return nil
}

// part returns the share of the box's rows that compartment i feeds.
func (s Seed) part(i int) float64 {
	rows := 0
	for _, side := range s.Sides {
		rows += side.Rows
	}
	return float64(s.Sides[i].Rows) / float64(rows)
}

// untilDry returns the areas by which the compartment is dry with chances 0.1,
// 0.5 and 0.9, for seed in mg going out on each cm². With x the seed that an
// area takes, it is dry when x − mass exceeds t standard uncertainties of that
// difference, √((u x + common)² + loose): a quadratic in x, as in Fieller's
// theorem (Biometrika 27, 1932).
func (s Side) untilDry(perArea float64, r RateEstimate) (Dry, error) {
	t := studentT(1-Tail, r.Freedom)
	mass := float64(s.Mass())
	tu, tc := t*r.Relative, t*s.common
	a := 1 - float64(tu*tu)
	if !(a > 0) {
		return Dry{}, refuse("relative uncertainty of the rate", r.Relative, "below %.3g with its %g degrees of freedom", 1/t, r.Freedom)
	}
	half := mass + float64(tu*tc)
	rest := float64(mass*mass) - float64(tc*tc) - float64(t*t*s.loose)
	root := math.Sqrt(math.Max(0, float64(half*half)-float64(a*rest)))
	area := func(x float64) units.Area {
		return units.Area(math.Round(math.Min(greatestArea, math.Max(0, x/perArea))))
	}
	return Dry{P10: area((half - root) / a), P50: area(mass), P90: area((half + root) / a)}, nil
}
