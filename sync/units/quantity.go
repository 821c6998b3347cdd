package units

import (
	"math/big"
	"strings"
)

// The parsers below take what people write: thousands commas, fractions and
// mixed numbers, unicode signs, any letter case, a space before the unit or
// none. They read decimals exactly and round once, half away from zero, to the
// type's fixed unit. Each fails with an *Error, and none takes a negative
// value.

// ParseMass reads 212 g, 50 lb, 5#, 3 lb 4 oz; with Bushel also 1 1/2 bu, and
// without it 1 1/2 bu at 32 lb/bu. The range is 0 to 1,000,000 t.
func ParseMass(text string, opts ...Option) (Mass, error) {
	v, err := simple(massKind, text, opts)
	return Mass(v), err
}

// ParseLength reads 7.5 in, 7.5-inch, 8' 2", 8ft2in, 3/8 in, 190 mm. The range is 0
// to 40,000 km.
func ParseLength(text string, opts ...Option) (Length, error) {
	v, err := simple(lengthKind, text, opts)
	return Length(v), err
}

// ParseArea reads 7.5 ac, 1.5 A, 1.2 ha, 1 ft2, 0.25 m². A small a could be an
// are and is unclear. The range is 0 to 10,000,000 ha.
func ParseArea(text string, opts ...Option) (Area, error) {
	v, err := simple(areaKind, text, opts)
	return Area(v), err
}

// ParseVolume reads 1 1/2 bu, 40 l, 2 gal. The range is 0 to 1,000,000 m³.
func ParseVolume(text string, opts ...Option) (Volume, error) {
	v, err := simple(volumeKind, text, opts)
	return Volume(v), err
}

// ParseSpeed reads 5 mph, 8 km/h. The range is 0 to 1,000 km/h.
func ParseSpeed(text string, opts ...Option) (Speed, error) {
	v, err := simple(speedKind, text, opts)
	return Speed(v), err
}

// ParseDial reads a setting of a dial: 42, 42.5, 3 1/2. The range is 0 to
// 1,000,000 marks; a box has its own, narrower one.
func ParseDial(text string, opts ...Option) (Dial, error) {
	v, err := simple(dialKind, text, opts)
	return Dial(v), err
}

// ParseTurns reads a number of turns: 20, 19.5 turns, 12 1/4. The range is 0
// to 1,000,000,000.
func ParseTurns(text string, opts ...Option) (Turns, error) {
	v, err := simple(turnsKind, text, opts)
	return Turns(v), err
}

// ParseReading reads a counter as it shows, without a unit: 123.4. The range
// is 0 to 1,000,000,000.
func ParseReading(text string, opts ...Option) (Reading, error) {
	v, err := simple(readingKind, text, opts)
	return Reading(v), err
}

// ParseCount reads a number of bags or pieces: 3, 2 1/2 bags, 220k, 1.2 million. The
// range is 0 to 1,000,000,000,000.
func ParseCount(text string, opts ...Option) (Count, error) {
	v, err := simple(countKind, text, opts)
	return Count(v), err
}

// ParseShare reads a part of a whole, from 0 to 100 %. A bare number is per
// cent, as 98 is. A bare number above 0 and up to 1 could be meant either way
// and is unclear, unless Fraction says that one below 1 is a fraction of one:
// then only a bare 1 is unclear.
func ParseShare(text string, opts ...Option) (Share, error) {
	r := newReader(shareKind, text, opts)
	r.bare = "%"
	s, bad := r.clean()
	if bad != nil {
		return 0, bad
	}
	exact, bad := r.sum(shareKind, s)
	if bad == nil && r.isBare(s) && exact.Sign() > 0 {
		bad = r.bareShare(exact)
	}
	if bad != nil {
		return 0, bad
	}
	v, err := r.settle(exact)
	return Share(v), err
}

// bareShare decides what a share without its sign means, in thousandths of one
// per cent.
func (r *reader) bareShare(exact *big.Rat) *Error {
	one := exact.Cmp(big.NewRat(1000, 1))
	switch {
	case one > 0:
	case one == 0:
		return r.fail("could be 1 % or 100 %, so it needs its % sign", ErrUnclear)
	case r.fraction:
		exact.Mul(exact, big.NewRat(100, 1))
	default:
		return r.fail("could be a fraction or a per cent, so it needs its % sign", ErrUnclear)
	}
	return nil
}

// ParseMoney reads 14.50, $14.50, 1,450. The range is 0 to 10,000,000,000, in
// steps of one hundredth: a finer amount is an error, not rounded.
func ParseMoney(text string, opts ...Option) (Money, error) {
	r := newReader(moneyKind, text, opts)
	s, bad := r.clean()
	if bad != nil {
		return 0, bad
	}
	for _, sign := range []string{"$", "€", "£"} {
		if rest, ok := strings.CutPrefix(s, sign); ok {
			s = strings.TrimSpace(rest)
			break
		}
	}
	exact, bad := r.sum(moneyKind, s)
	if bad != nil {
		return 0, bad
	}
	if !exact.IsInt() {
		return 0, r.fail("is finer than one hundredth", ErrRange)
	}
	v, err := r.settle(exact)
	return Money(v), err
}
