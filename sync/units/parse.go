package units

import (
	"fmt"
	"math/big"
	"strings"
)

// Option changes how a text is read.
type Option func(*options)

type options struct {
	bare     string // unit of a number without one
	bushel   Mass   // mass of a bushel, 0 where none is known
	fraction bool   // a bare share up to 1 is a fraction of one
	times    int64  // how many times over the amount is wanted, 0 for once
}

// Bare gives the unit that a number without one is in, such as "lb/ac".
func Bare(unit string) Option { return func(o *options) { o.bare = unit } }

// Bushel lets bushels stand for a mass of seed: the mass of one bushel, which
// depends on the species and on whose law says so.
func Bushel(m Mass) Option { return func(o *options) { o.bushel = m } }

// Fraction reads a bare share of at most 1 as a fraction of one (0.98 is
// 98 %). Give it only where shares under 1 % make no sense.
func Fraction() Option { return func(o *options) { o.fraction = true } }

// Times gives so many times the amount written, taken before rounding: the
// mass of a million small seeds from what a thousand of them weigh.
func Times(n int64) Option { return func(o *options) { o.times = n } }

// reader reads one text as one kind of quantity.
type reader struct {
	kind *kind
	text string // as it was written, for errors
	options
}

func newReader(k *kind, text string, opts []Option) *reader {
	r := &reader{kind: k, text: text}
	for _, o := range opts {
		o(&r.options)
	}
	return r
}

func (r *reader) fail(problem string, cause error) *Error {
	text := r.text
	if len(text) > maxText {
		text = text[:maxText] + "..."
	}
	return r.kind.fail(text, problem, cause)
}

// clean checks the outer shape and gives the text in plain spelling.
func (r *reader) clean() (string, *Error) {
	if len(r.text) > maxText {
		return "", r.fail(fmt.Sprintf("is longer than %d bytes", maxText), ErrSyntax)
	}
	s := plain(r.text)
	if s == "" {
		return "", r.fail("is empty", ErrSyntax)
	}
	return s, nil
}

// sum adds up terms such as `8 ft 2 in` exactly, in the fixed unit of k.
func (r *reader) sum(k *kind, s string) (*big.Rat, *Error) {
	total := new(big.Rat)
	var last *big.Rat
	for s != "" {
		value, rest, problem := takeNumber(s)
		if problem != "" {
			return nil, r.fail(problem, ErrSyntax)
		}
		name, rest := takeUnit(rest)
		factor, err := r.factor(k, name)
		if err != nil {
			return nil, err
		}
		if last != nil && factor.Cmp(last) >= 0 {
			return nil, r.fail("has parts that do not go from large to small", ErrSyntax)
		}
		if last != nil && value.Sign() < 0 {
			return nil, r.fail("has a minus sign inside", ErrSyntax)
		}
		total.Add(total, new(big.Rat).Mul(value, factor))
		last, s = factor, rest
	}
	return total, nil
}

// takeUnit reads letters and signs up to the next number; a digit right after
// a letter belongs to the unit (ft2, m3).
func takeUnit(s string) (name, rest string) {
	end := 0
	for end < len(s) && !startsTerm(s, end) {
		end++
	}
	name = strings.ReplaceAll(strings.ReplaceAll(s[:end], " ", ""), ".", "")
	return name, s[end:]
}

func startsTerm(s string, i int) bool {
	c := s[i]
	if c == '-' || c == '.' && i+1 < len(s) && isDigit(s[i+1]) {
		return true
	}
	return isDigit(c) && (i == 0 || s[i-1] < 'a' || s[i-1] > 'z')
}

// factor finds a unit by its name, in singular or plural.
func (r *reader) factor(k *kind, name string) (*big.Rat, *Error) {
	if name == "" && r.bare != "" && k == r.kind {
		name = r.bare
	}
	if f, ok := k.units[name]; ok {
		return f.rat(), nil
	}
	if k == massKind && (name == "bu" || name == "bushel" || name == "bushels") {
		if r.bushel > 0 {
			return new(big.Rat).SetInt64(int64(r.bushel)), nil
		}
		return nil, r.fail("is in bushels, a volume whose mass depends on the species", ErrUnit)
	}
	if name == "" {
		return nil, r.fail("has no unit (known: "+r.kind.known+")", ErrUnit)
	}
	return nil, r.unknown(name)
}

// unknown says what a text with a strange unit is instead, if it is anything.
func (r *reader) unknown(name string) *Error {
	for _, k := range others() {
		if k != r.kind && isA(k, r.text) {
			return r.fail("is "+indefinite(k.name), ErrUnit)
		}
	}
	return r.fail(fmt.Sprintf("has the unknown unit %q (known: %s)", name, r.kind.known), ErrUnit)
}

// isA reports whether the text reads as a quantity of kind k, without asking
// any further what else it might be.
func isA(k *kind, text string) bool {
	s := plain(text)
	top, bottom, split := splitPer(s)
	switch k {
	case rateKind:
		return split && allUnits(massKind, top) && allUnits(areaKind, bottom)
	case densityKind:
		return split && allUnits(countKind, top) && allUnits(areaKind, bottom)
	}
	return allUnits(k, s)
}

// allUnits reports whether s is a list of numbers, each with a unit of k.
func allUnits(k *kind, s string) bool {
	for s != "" {
		if _, rest, problem := takeNumber(s); problem == "" {
			s = rest
		}
		name, rest := takeUnit(s)
		if _, ok := k.units[name]; !ok || rest == s {
			return false
		}
		s = rest
	}
	return true
}

// settle rounds an exact value once to the type's fixed unit, and checks it.
func (r *reader) settle(exact *big.Rat) (int64, error) {
	if r.times != 0 {
		exact = new(big.Rat).Mul(exact, big.NewRat(r.times, 1))
	}
	if exact.Sign() < 0 {
		return 0, r.fail("is below zero", ErrRange)
	}
	if exact.Cmp(new(big.Rat).SetInt64(r.kind.max)) > 0 {
		return 0, r.fail("is too great", ErrRange)
	}
	rounded := roundHalfAway(exact)
	if rounded == 0 && exact.Sign() > 0 {
		return 0, r.fail("is finer than can be kept", ErrRange)
	}
	return rounded, nil
}

// roundHalfAway rounds a number that is not negative and fits in 63 bits.
func roundHalfAway(x *big.Rat) int64 {
	twice := new(big.Int).Lsh(x.Num(), 1)
	twice.Add(twice, x.Denom())
	return twice.Quo(twice, new(big.Int).Lsh(x.Denom(), 1)).Int64()
}

// simple reads a quantity whose units are in one table.
func simple(k *kind, text string, opts []Option) (int64, error) {
	r := newReader(k, text, opts)
	s, bad := r.clean()
	if bad != nil {
		return 0, bad
	}
	exact, bad := r.sum(k, s)
	if bad != nil {
		return 0, bad
	}
	return r.settle(exact)
}
