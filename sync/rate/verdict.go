package rate

import "turnrow/sync/units"

// Decision is what to do after a catch.
type Decision string

// The decisions.
const (
	Go         Decision = "go"
	MoveDial   Decision = "move the dial"
	CatchAgain Decision = "catch once more"
)

// Band is what a rate may be and still count as on target: within a share of
// it either way. The target must be above 0, the share from 0 to 100 %.
// Source: University of Massachusetts Extension (±5 %).
func Band(target units.RatePerArea, within units.Share) (low, high units.RatePerArea, err error) {
	if err := checkRate("target rate", target); err != nil {
		return 0, 0, err
	}
	if within < 0 || within > units.Whole {
		return 0, 0, refuse("tolerance", within, "from 0%% to 100%%")
	}
	part, err := within.OfRate(target)
	return target - part, target + part, err
}

// Decide says whether a catch proves a rate within ±5 % of the target
// (University of Massachusetts Extension): Go where the rate is within it and
// its 90 % interval reaches no further than as much again; MoveDial where the
// whole interval lies outside; CatchAgain where the catch is too loose to
// tell. The target must be above 0.
func (r CatchRate) Decide(target units.RatePerArea) (Decision, error) {
	low, high, err := Band(target, units.Share(GoWithin*float64(units.Whole)))
	if err != nil {
		return "", err
	}
	inside := r.Rate >= low && r.Rate <= high
	switch {
	case r.High < low || r.Low > high:
		return MoveDial, nil
	case inside && r.Half() <= GoWithin:
		return Go, nil
	case !inside && r.Half() <= GoWithin:
		return MoveDial, nil
	}
	return CatchAgain, nil
}
