package rate

import (
	"math"

	"turnrow/sync/units"
)

// Finish is what to pour to finish a piece of ground.
type Finish struct {
	// Likely is what each compartment still needs if the rate is as estimated,
	// Sure what it needs to last with nine chances in ten: the least that is
	// worth pouring. Both are 0 where enough is in it.
	Likely, Sure []units.Mass
	Now          []units.Mass // of Sure, what goes in now below the box's capacity
	Later        units.Mass   // of Sure, what must be poured when there is room again
	Bags         int64        // whole bags that hold all of Sure; 0 where no bag mass is given
	Over         units.Mass   // left in the box in the end if the rate is as estimated
}

// ToFinish returns what to pour, shared evenly by the rows that compartments
// feed, to finish an area at the rate of each, or at one for all, with the least
// left over. capacity is what the whole box holds of this seed, bag the mass of
// a bag; 0 stands for not known. It fails with a *RangeError for an area below
// zero, a capacity or bag below zero, and as UntilDry does.
func (s Seed) ToFinish(area units.Area, rates []Metering, capacity, bag units.Mass) (Finish, error) {
	switch {
	case area < 0 || area > greatestArea:
		return Finish{}, refuse("area to finish", area, "from 0 to 10,000,000 ha")
	case capacity < 0:
		return Finish{}, refuse("capacity of the box", capacity, "0 or more")
	case bag < 0:
		return Finish{}, refuse("mass of a bag", bag, "0 or more")
	}
	if len(rates) != 1 && len(rates) != len(s.Sides) {
		return Finish{}, refuse("number of rates", len(rates), "1, or %d, one for each compartment", len(s.Sides))
	}
	for _, r := range rates {
		if err := checkSteady(r.RateEstimate); err != nil {
			return Finish{}, err
		}
	}
	f := Finish{}
	total, left := units.Mass(0), 0.0
	for i, side := range s.Sides {
		part, r := s.part(i), rates[min(i, len(rates)-1)]
		need := float64(part * float64(r.Rate) * milligramsPerCm2 * float64(area))
		likely, sure := side.toLast(need, r)
		now := sure
		if capacity > 0 {
			room := rounded(part*float64(capacity)) - side.Mass()
			now = min(sure, max(0, room))
		}
		f.Likely, f.Sure, f.Now = append(f.Likely, likely), append(f.Sure, sure), append(f.Now, now)
		f.Later += sure - now
		total += sure
		left += float64(side.Mass()+sure) - need
	}
	if bag > 0 {
		f.Bags = int64((total + bag - 1) / bag)
	}
	f.Over = rounded(math.Max(0, left))
	return f, nil
}

// toLast returns what to add so that need mg can go out, on the estimate and
// with nine chances in ten, rounded up to whole milligrams.
func (s Side) toLast(need float64, r Metering) (likely, sure units.Mass) {
	t := studentT(1-Tail, r.Freedom)
	gone := float64(s.std.gone * (exp(float64(t*math.Sqrt(s.std.spread().Var))) - 1))
	more := float64(need * (exp(float64(t*r.Relative)) - 1))
	level := s.std.level + s.std.carried + float64(need*r.Level)
	margin := inSquares(gone+more, float64(t*math.Sqrt(s.std.loose+float64(level*level))))
	missing := need - float64(s.Mass())
	up := func(x float64) units.Mass { return units.Mass(math.Ceil(math.Max(0, x))) }
	return up(missing), up(missing + margin)
}
