package rate

import (
	"math"

	"turnrow/sync/units"
)

// Weighed is a mass of seed and its standard uncertainty.
type Weighed struct {
	Mass, Std units.Mass
}

// Stretch is what a box was given and gave back between two moments at which
// somebody knew what was in it, one lot going out all the while.
type Stretch struct {
	Start   Weighed // in the box at the start
	Poured  Weighed // since then
	Drained Weighed // taken out since then
	Left    Weighed // in the box at the end
	Area    units.Area
	Runs    int // stretches joined end to end; 0 stands for 1
}

// Out is what really went out over a stretch.
type Out struct {
	Mass units.Mass
	// Rate is Mass to the counter's area. Its uncertainty is that of the masses and
	// of stretchSpread, without the counter's own error.
	Rate RateEstimate
	// Level is the part of that uncertainty, as a share of Mass, that comes from what
	// was left at the end: whatever is in the box now is uncertain by the same.
	Level float64
}

// Join returns two stretches as one, the second of which began with what the
// first ended with. What was read in between drops out.
func (s Stretch) Join(next Stretch) Stretch {
	return Stretch{
		Start: s.Start, Poured: s.Poured.Plus(next.Poured), Drained: s.Drained.Plus(next.Drained), Left: next.Left,
		Area: s.Area + next.Area, Runs: max(1, s.Runs) + max(1, next.Runs),
	}
}

// Out returns the mass that went out, start + poured − drained − left, and the
// rate that this makes on the area. It fails with a *RangeError for a negative
// mass or uncertainty, an area out of range, and where nothing went out.
func (s Stretch) Out() (Out, error) {
	if err := s.check(); err != nil {
		return Out{}, err
	}
	gone := s.Start.Mass + s.Poured.Mass - s.Drained.Mass - s.Left.Mass
	if gone <= 0 {
		return Out{}, refuse("mass that went out (start + poured − drained − left)", gone, "more than 0")
	}
	squares := square(s.Start.Std) + square(s.Poured.Std) + square(s.Drained.Std) + square(s.Left.Std)
	masses := Spread{squares / square(gone), Known}
	ground := Spread{known(stretchSpread).Var / float64(max(1, s.Runs)), Known}
	micrograms := float64(float64(gone) * 1000)
	r, err := estimateAt(ln(micrograms/s.Area.SquareMetres()), sumOf(masses, ground))
	if err != nil {
		return Out{}, err
	}
	return Out{Mass: gone, Rate: r, Level: float64(s.Left.Std) / float64(gone)}, nil
}

func (s Stretch) check() error {
	weighed := []struct {
		name string
		Weighed
	}{{"mass at the start", s.Start}, {"mass poured", s.Poured}, {"mass drained", s.Drained}, {"mass left", s.Left}}
	for _, w := range weighed {
		if w.Mass < 0 || w.Mass > greatestMass {
			return refuse(w.name, w.Mass, "from 0 to 1,000,000 t")
		}
		if w.Std < 0 || w.Std > greatestMass {
			return refuse("uncertainty of the "+w.name, w.Std, "from 0 to 1,000,000 t")
		}
	}
	if s.Area <= 0 || s.Area > greatestArea {
		return refuse("area sown", s.Area, "more than 0 and up to 10,000,000 ha")
	}
	if s.Runs < 0 {
		return refuse("stretches joined", s.Runs, "0 or more")
	}
	return nil
}

// AtDial returns what a stretch shows of another dial: its rate in proportion
// to what crank or chart give at the two, and uncertain by how far the box's
// curve may bend between them.
func (o Out) AtDial(there, here RateEstimate) (Out, error) {
	way := ln(float64(here.Rate) / float64(there.Rate))
	return o.with(way, known(float64(bendSpread*way)))
}

// OfAnotherLot returns what a stretch shows of a lot of the same kind of seed
// that is not the one that went out.
func (o Out) OfAnotherLot() (Out, error) { return o.with(0, known(otherLotSpread)) }

func (o Out) with(way float64, more Spread) (Out, error) {
	r, err := estimateAt(o.Rate.log()+way, sumOf(o.Rate.Spread(), more))
	o.Rate = r
	return o, err
}

// Measured returns what went out as a measurement of what the box gives at a
// dial, for who has neither chart nor catch.
func (o Out) Measured(dial units.Dial) Measured {
	return Measured{Dial: dial, Rate: o.Rate.Rate, Relative: o.Rate.Relative, Freedom: o.Rate.Freedom}
}

// log returns the natural logarithm of the rate in µg/m².
func (r RateEstimate) log() float64 { return ln(float64(r.Rate)) }

// Spread returns how far the logarithm of the rate may be off.
func (r RateEstimate) Spread() Spread { return Spread{float64(r.Relative * r.Relative), r.Freedom} }

// estimateAt rounds a logarithm of a rate in µg/m² to a RateEstimate, whose
// interval is never narrower than rateFloor and whose ends are rounded outwards.
func estimateAt(centre float64, s Spread) (RateEstimate, error) {
	if !(centre <= ln(greatestRate) && centre >= ln(0.5)) || !(s.Var >= 0) {
		return RateEstimate{}, refuse("rate in µg/m²", exp(math.Max(-700, math.Min(700, centre))), "more than 0 and up to %g", float64(greatestRate))
	}
	value := exp(centre)
	reach := math.Min(100, math.Max(rateFloor, s.half(Confidence)))
	return RateEstimate{
		Rate:     units.RatePerArea(math.Max(1, math.Round(value))),
		Low:      units.RatePerArea(math.Floor(value * exp(-reach))),
		High:     units.RatePerArea(math.Ceil(math.Min(greatestRate, value*exp(reach)))),
		Relative: math.Sqrt(s.Var),
		Freedom:  s.DF,
	}, nil
}
