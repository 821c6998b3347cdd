package units

import (
	"math/big"
	"strings"
)

// ParseRate reads a mass over an area: 23 lb/ac, 25 kg/ha, 2.5 g/m2, 8 oz per
// acre, 5 lb/1,000 ft2; with Bushel also 1 1/2 bu/ac, and without it 1 1/2
// bu/ac at 32 lb/bu. A rate of live seed (23 lb PLS/ac) is refused without
// Live. The range is 0 to 100,000 kg/ha.
func ParseRate(text string, opts ...Option) (RatePerArea, error) {
	// mg per cm² to µg per m²: × 1,000 × 10,000
	v, err := perArea(rateKind, massKind, 10_000_000, text, opts)
	return RatePerArea(v), err
}

// ParseDensity reads a count over an area: 30 seeds/ft2, 320/m2, 1.2
// million/ac. The range is 0 to 1,000,000,000 to the square metre.
func ParseDensity(text string, opts ...Option) (Density, error) {
	// thousandths per cm² to thousandths per m²
	v, err := perArea(densityKind, countKind, 10_000, text, opts)
	return Density(v), err
}

// perArea reads what is over an area, top ÷ bottom × scale.
func perArea(k, topKind *kind, scale int64, text string, opts []Option) (int64, error) {
	r := newReader(k, text, opts)
	s, bad := r.clean()
	if bad != nil {
		return 0, bad
	}
	top, bottom, split := splitPer(s)
	if !split && r.isBare(s) && r.bare != "" {
		top, bottom, split = splitPer(s + " " + r.bare)
	}
	if !split {
		return 0, r.noArea(s)
	}
	over, bad := r.sum(topKind, top)
	if bad != nil {
		return 0, bad
	}
	under, bad := r.under(bottom)
	if bad == nil {
		bad = r.checkBasis()
	}
	if bad != nil {
		return 0, bad
	}
	over.Mul(over, big.NewRat(scale, 1))
	return r.settle(over.Quo(over, under))
}

// under reads the area below the line, where no number means one.
func (r *reader) under(s string) (*big.Rat, *Error) {
	if s != "" && !isDigit(s[0]) && s[0] != '-' && s[0] != '.' {
		s = "1 " + s
	}
	area, bad := r.sum(areaKind, s)
	if bad != nil {
		return nil, bad
	}
	if area.Sign() <= 0 {
		return nil, r.fail("is over no area", ErrRange)
	}
	return area, nil
}

// noArea says what a text without a division is.
func (r *reader) noArea(s string) *Error {
	if _, _, bad := r.take(s); bad != nil {
		return r.fail(bad.words, bad.cause)
	}
	if r.isBare(s) {
		return r.fail("has no unit (known: "+r.kind.known+")", ErrUnit)
	}
	for _, k := range others() {
		if k != r.kind && r.isA(k) {
			return r.fail("is "+indefinite(k.name), ErrUnit)
		}
	}
	return r.fail("is over no area (known: "+r.kind.known+")", ErrUnit)
}

// splitPer parts a text at its "/" or "per" that is not inside a fraction.
func splitPer(s string) (top, bottom string, ok bool) {
	for i := 0; i < len(s); i++ {
		if s[i] != '/' {
			continue
		}
		inFraction := i > 0 && isDigit(s[i-1]) && i+1 < len(s) && isDigit(s[i+1]) && !afterUnit(s, i)
		if !inFraction {
			return strings.TrimSpace(s[:i]), strings.TrimSpace(s[i+1:]), true
		}
	}
	if top, bottom, ok := cutFold(s, " per "); ok {
		return strings.TrimSpace(top), strings.TrimSpace(bottom), true
	}
	return s, "", false
}

// afterUnit reports whether the digits before the stroke at i end a unit
// (the 2 of ft2) rather than stand for a number.
func afterUnit(s string, i int) bool {
	for i > 0 && isDigit(s[i-1]) {
		i--
	}
	return i > 0 && isLetter(s[i-1])
}
