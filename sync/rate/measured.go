package rate

import (
	"math"

	"turnrow/sync/units"
)

// Measured is one measurement of what a box gives at a dial: a catch, or a
// rate whose uncertainty is known.
type Measured struct {
	Dial     units.Dial
	Rate     units.RatePerArea
	Relative float64 // standard deviation of Rate's natural logarithm
	Freedom  float64 // degrees of freedom of Relative, or Known

	catches []Catch // what was caught: repeats at one dial are pooled by their masses
	plain   bool    // a catch of which only the rate is known
	lot     string  // another lot that it was made with
	sure    bool    // a person said that it is as written
}

// Measured returns what catches at one setting show as a measurement of what
// the box gives at a dial, for FitBox, which pools those at one dial.
func (c CatchRate) Measured(dial units.Dial) Measured {
	return Measured{Dial: dial, Rate: c.Rate, Relative: math.Sqrt(c.Spread.Var), Freedom: c.Spread.DF, catches: c.of}
}

// PlainCatch is a careful catch of which only the rate is known: it is taken to
// be one of all rows, over many turns.
func PlainCatch(dial units.Dial, rate units.RatePerArea) Measured {
	s := sumOf(Spread{repeatSpread * repeatSpread, repeatWeight}, known(rollSpread))
	return Measured{Dial: dial, Rate: rate, Relative: math.Sqrt(s.Var), Freedom: s.DF, plain: true}
}

// Way is how the catch was made.
func (m Measured) Way() Way {
	if len(m.catches) == 0 {
		return Standing
	}
	return m.catches[0].Way
}

// RateEstimate returns the measured rate with its own 90 % interval, without
// what else is known of the box. It fails with a *RangeError for a rate that
// is not above zero.
func (m Measured) RateEstimate() (RateEstimate, error) {
	return estimateAt(ln(float64(m.Rate)), Spread{float64(m.Relative * m.Relative), m.Freedom})
}

// OfAnotherLot returns the measurement as made with another lot of the same
// kind of seed, by its name. What lots differ by is added to it, once for all
// measurements of that lot.
func (m Measured) OfAnotherLot(lot string) Measured {
	m.lot = lot
	s := sumOf(Spread{float64(m.Relative * m.Relative), m.Freedom}, known(otherLotSpread))
	m.Relative, m.Freedom = math.Sqrt(s.Var), s.DF
	return m
}

// Sure returns the measurement as one that a person has looked at and said is as
// written: it is never set aside.
func (m Measured) Sure() Measured {
	m.sure = true
	return m
}

// readings are the masses behind a measurement, at the logarithm of its chart's
// rate; of is its number.
func (m Measured) readings(of int, x float64) ([]reading, error) {
	if len(m.catches) == 0 {
		rate := m.Rate.GramsPerSquareMetre()
		r := reading{of: of, rate: rate, grams: rate, area: 1, log: ln(rate), dial: m.Dial, x: x, lot: m.lot}
		if !m.plain {
			r.stated = m.own()
		}
		return []reading{r}, nil
	}
	var list []reading
	for _, c := range m.catches {
		rs, err := c.readings(of)
		if err != nil {
			return nil, err
		}
		for _, r := range rs {
			r.repeat, r.dial, r.x, r.lot, r.sure = len(list), m.Dial, x, m.lot, m.sure
			list = append(list, r)
		}
	}
	return list, nil
}

// own is the spread of a stated rate without what lots differ by.
func (m Measured) own() Spread {
	s := Spread{float64(m.Relative * m.Relative), m.Freedom}
	if m.lot != "" {
		s.Var = math.Max(1e-12, s.Var-otherLotSpread*otherLotSpread)
	}
	return s
}

// check refuses a measurement that no fit can use.
func (m Measured) check(b Box, shape curve) error {
	low, high := b.ends()
	switch {
	case m.Dial < low || m.Dial > high:
		return refuse("dial of a catch", m.Dial, "from %v to %v", low, high)
	case m.Rate < 0 || m.Rate == 0 && len(m.catches) == 0:
		return refuse("caught rate", m.Rate, "more than 0")
	case m.Rate > 0 && (!(m.Relative > 0) || m.Relative > 1 && len(m.catches) == 0):
		return refuse("relative uncertainty of a catch", m.Relative, "more than 0 and up to 1")
	case m.Rate > 0 && !(m.Freedom >= 1):
		return refuse("degrees of freedom of a catch", m.Freedom, "1 or more")
	case !(shape.at(m.Dial.Float()) > 0):
		return refuse("dial of a catch", m.Dial, "where the box gives seed")
	}
	return nil
}
