package rate

import (
	"turnrow/sync/units"
)

// Weighed is a mass of seed and its standard uncertainty.
type Weighed struct {
	Mass, Doubt units.Mass
}

// Stretch is what a box was given and gave back over a stretch of ground at
// one setting of its dial.
type Stretch struct {
	Filled  Weighed // in the box at the start and poured since
	Left    Weighed // in the box at the end
	Drained Weighed // taken out in between
	Area    units.Area
	// AreaDoubt is the standard uncertainty of Area, as a fraction of it.
	AreaDoubt float64
}

// Out is what really went out over a stretch.
type Out struct {
	Mass units.Mass
	Rate RateEstimate
}

// Out returns the mass that went out, filled − left − drained, and the rate
// that this makes on the area. It fails with a *RangeError for a negative mass
// or doubt, an area or doubt out of range, and where nothing went out.
func (s Stretch) Out() (Out, error) {
	if err := s.check(); err != nil {
		return Out{}, err
	}
	gone := s.Filled.Mass - s.Left.Mass - s.Drained.Mass
	if gone <= 0 {
		return Out{}, refuse("mass that went out (filled − left − drained)", gone, "more than 0")
	}
	mass := s.Filled.estimate().Minus(s.Left.estimate()).Minus(s.Drained.estimate())
	squareMetres := s.Area.SquareMetres()
	area := Estimate{Value: squareMetres, Std: float64(squareMetres * s.AreaDoubt), Freedom: Known}
	r, err := rateOf(mass.Scaled(1000).Over(area)) // mg to µg
	if err != nil {
		return Out{}, err
	}
	return Out{Mass: gone, Rate: r}, nil
}

func (s Stretch) check() error {
	weighed := []struct {
		name string
		Weighed
	}{{"mass filled", s.Filled}, {"mass left", s.Left}, {"mass drained", s.Drained}}
	for _, w := range weighed {
		if w.Mass < 0 {
			return refuse(w.name, w.Mass, "0 or more")
		}
		if w.Doubt < 0 {
			return refuse("uncertainty of the "+w.name, w.Doubt, "0 or more")
		}
	}
	if s.Area <= 0 {
		return refuse("area sown", s.Area, "more than 0")
	}
	if !(s.AreaDoubt >= 0 && s.AreaDoubt < 1) {
		return refuse("relative uncertainty of the area", s.AreaDoubt, "from 0 to below 1")
	}
	return nil
}

// estimate returns the mass in mg.
func (w Weighed) estimate() Estimate {
	return Estimate{Value: float64(w.Mass), Std: float64(w.Doubt), Freedom: Known}
}

// Measured returns what went out as one more measurement of what the box gives
// at a dial, for FitBox.
func (o Out) Measured(dial units.Dial) Measured {
	return Measured{Dial: dial, Rate: o.Rate.Rate, Relative: o.Rate.Relative, Freedom: o.Rate.Freedom}
}
