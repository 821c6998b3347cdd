package rate

import (
	"math"

	"turnrow/sync/units"
)

// Certainties at which a drift is called likely and sure. Our own choice: the
// two levels that tables of Student's t have always carried.
const (
	DriftLikely = 0.90
	DriftSure   = 0.99
)

// Drift is how far a rate has moved from what it was, or lies from what it
// was meant to be.
type Drift struct {
	Change    float64 // as a fraction: 0.08 is 8 % more than before
	Low, High float64 // its 90 % interval
	// Certainty is the level, from 0 to 1, of the widest interval that leaves
	// out "no change": 0.95 means that chance alone moves two such figures
	// further apart one time in twenty.
	Certainty float64
}

// Likely says whether the rate has moved at the level DriftLikely.
func (d Drift) Likely() bool { return d.Certainty >= DriftLikely }

// Sure says whether the rate has moved at the level DriftSure.
func (d Drift) Sure() bool { return d.Certainty >= DriftSure }

// DriftFrom compares a rate with an earlier one that was measured apart from
// it, on their logarithms, by Welch's t test (Biometrika 34, 1947). It fails with a *RangeError for
// a rate that is not above zero or an uncertainty that is no number.
func DriftFrom(before, now RateEstimate) (Drift, error) {
	for _, r := range []RateEstimate{before, now} {
		if r.Rate <= 0 {
			return Drift{}, refuse("rate", r.Rate, "more than 0")
		}
		if !(r.Relative >= 0) || !(r.Freedom >= 1) {
			return Drift{}, refuse("relative uncertainty of a rate", r.Relative, "0 or more with 1 degree of freedom or more")
		}
	}
	off := sumOf(before.Spread(), now.Spread())
	moved := now.log() - before.log()
	return driftBy(moved, off, moved, off), nil
}

// driftBy is a change on the logarithm and its spread, and the difference that
// is tested with the spread of that.
func driftBy(change float64, s Spread, moved float64, off Spread) Drift {
	reach := math.Min(100, math.Max(rateFloor, s.half(Confidence)))
	d := Drift{Change: exp(change) - 1, Low: exp(change-reach) - 1, High: exp(change+reach) - 1}
	if off.Var > 0 {
		d.Certainty = math.Min(1, studentWithin(moved/math.Sqrt(off.Var), off.DF))
	} else if moved != 0 {
		d.Certainty = 1
	}
	return d
}

// DriftBetween compares two weighed stretches of one lot at one dial, the later
// of which began with what the earlier one ended with: level is what was read
// there. That reading makes one too great and the other too small, so that it
// counts once, for both.
func DriftBetween(before, now Out, level Weighed) (Drift, error) {
	d, err := DriftFrom(before.Rate, now.Rate)
	if err != nil {
		return d, err
	}
	was, is := float64(level.Std)/float64(before.Mass), float64(level.Std)/float64(now.Mass)
	s := sumOf(before.Rate.Spread(), now.Rate.Spread(), Spread{float64(2 * was * is), Known})
	moved := now.Rate.log() - before.Rate.log()
	return driftBy(moved, s, moved, s), nil
}

// AgainstAim compares a rate with the rate that was aimed at, which has no
// uncertainty. It fails as DriftFrom does.
func AgainstAim(aim units.RatePerArea, now RateEstimate) (Drift, error) {
	return DriftFrom(RateEstimate{Rate: aim, Low: aim, High: aim, Freedom: Known}, now)
}
