package rate

import (
	"math"

	"turnrow/sync/units"
)

// EmptyBox returns the books of a box with nothing in it yet, to be kept with
// Keep. rows says how many rows each compartment feeds, as for SeedIn.
func EmptyBox(rows []int) (Seed, error) { return SeedIn(rows, nil) }

// Keep takes the next event into the books, for who needs to look between
// events; its number among Gone and Balances is index. Errors are SeedIn's, and
// leave the books as they were but for what came before in the same event.
func (s *Seed) Keep(index int, e BoxEvent) error {
	if err := e.check(index, len(s.Sides)); err != nil {
		return err
	}
	return s.apply(index, e)
}

// Std returns the standard uncertainty of the rate as a share of it. A rate
// more uncertain than its own size is a units.Error.
func (r RateEstimate) Std() (units.Share, error) { return units.ShareFromFraction(r.Relative) }

// Plus adds weighed masses whose uncertainties do not depend on one another.
func (w Weighed) Plus(o Weighed) Weighed {
	return Weighed{w.Mass + o.Mass, rounded(math.Sqrt(square(w.Std) + square(o.Std)))}
}
