package rate

import "turnrow/sync/units"

// BushelStd is the standard uncertainty, as a fraction, of a rate worked out
// from another seed's by their bushel weights. Seeds differ in shape and flow
// as well: it is taken as loose as a chart (chartSpread). Our own assumption.
const BushelStd = chartSpread

// RateByBushel returns the rate at which another seed goes out at the setting
// that gives own its rate: meters work by volume (NDSU Extension, AE-1144), so
// masses go as bushel weights do. It fails with a *RangeError for a rate or
// weight that is not above zero.
func RateByBushel(own RateEstimate, ownBushel, otherBushel units.Mass) (RateEstimate, error) {
	switch {
	case own.Rate <= 0:
		return RateEstimate{}, refuse("rate", own.Rate, "more than 0")
	case ownBushel <= 0:
		return RateEstimate{}, refuse("bushel weight of the seed that the box is set for", ownBushel, "more than 0")
	case otherBushel <= 0:
		return RateEstimate{}, refuse("bushel weight of the leftover seed", otherBushel, "more than 0")
	}
	ratio := Estimate{Value: float64(otherBushel) / float64(ownBushel), Freedom: Known}
	ratio.Std = float64(BushelStd * ratio.Value)
	return rateOf(own.Estimate().Times(ratio))
}

// BurnOff returns the ground over which leftover seed goes out at a rate: the
// rate that the box gives for that very seed, by its own curve or
// RateByBushel, not the rate that its dial is set for. It fails with a
// *RangeError for a mass that is not above zero, a negative uncertainty, and as
// UntilDry does.
func BurnOff(leftover Weighed, r RateEstimate) (Dry, error) {
	if leftover.Mass <= 0 || leftover.Mass > greatestMass {
		return Dry{}, refuse("leftover seed", leftover.Mass, "more than 0 and up to 1,000,000 t")
	}
	if leftover.Std < 0 {
		return Dry{}, refuse("uncertainty of the leftover seed", leftover.Std, "0 or more")
	}
	if err := checkSteady(r); err != nil {
		return Dry{}, err
	}
	side := Side{Rows: 1, Layers: []Layer{{Mass: leftover.Mass}}, mass: leftover.Mass, std: bookStd{loose: square(leftover.Std)}}
	return side.untilDry(float64(r.Rate)*milligramsPerCm2, Metering{RateEstimate: r}), nil
}
