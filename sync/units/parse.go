package units

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
)

// Option changes how a text is read.
type Option func(*options)

type options struct {
	bare     string // unit of a number without one
	bushel   Mass   // mass of a bushel, 0 where none is known
	fraction bool   // a bare share below 1 is a fraction of one
	live     bool   // a rate is of live seed
	times    int64  // how many times over the amount is wanted, 0 for once
	in       *In    // where the units that it is in are kept, if anywhere
	numerals
}

// Bare gives the unit that a number without one is in, such as "lb/ac".
func Bare(unit string) Option { return func(o *options) { o.bare = unit } }

// Bushel lets bushels stand for a mass of seed: the mass of one bushel, which
// depends on the species and on whose law says so.
func Bushel(m Mass) Option { return func(o *options) { o.bushel = m } }

// Fraction reads a bare share below 1 as a fraction of one (0.98 is 98 %).
// Give it only where shares under 1 % make no sense. A bare 1 stays unclear.
func Fraction() Option { return func(o *options) { o.fraction = true } }

// Live reads a rate of live seed: 23 lb PLS/ac is one, and so is 23 lb/ac,
// but not 23 lb bulk/ac. Without it, a rate is of bulk seed.
func Live() Option { return func(o *options) { o.live = true } }

// DecimalComma reads 7,5 as 7.5. A comma that could part thousands as well, as
// in 1,234, is refused as unclear; 1,234.5 and 1,234,567 are clear.
func DecimalComma() Option { return func(o *options) { o.decimalComma = true } }

// Times gives so many times the amount written, taken before rounding: the
// mass of a million small seeds from what a thousand of them weigh.
func Times(n int64) Option { return func(o *options) { o.times = n } }

// reader reads one text as one kind of quantity.
type reader struct {
	kind *kind
	text string // as it was written, for errors
	options
	says      basis // what seed the text says that it is of
	inBushels bool
	noBit     bool // a term's unit has no bit of In
	pounds    bool // a mass in pounds or another unit that goes with acres came before
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
	return r.takeBushel(s)
}

// sum adds up terms such as `8 ft 2 in` exactly, in the fixed unit of k.
func (r *reader) sum(k *kind, s string) (*big.Rat, *Error) {
	total := new(big.Rat)
	var last *big.Rat
	for s != "" {
		value, rest, wrong := r.take(s)
		if wrong != nil {
			return nil, r.fail(wrong.words, wrong.cause)
		}
		name, rest := takeUnit(k, rest)
		if name == "" && isRange(rest) {
			return nil, r.fail("is a range, not one figure", ErrSyntax)
		}
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
		r.keepIn(k, factor)
		total.Add(total, new(big.Rat).Mul(value, factor))
		last, s = factor, rest
	}
	return total, nil
}

// isRange reports whether what follows a number makes a range of it (20-25).
func isRange(rest string) bool {
	return len(rest) > 1 && rest[0] == '-' && isDigit(rest[1])
}

// takeUnit reads letters and signs up to the next number. A hyphen before them
// (7.5-inch), or right after them before a number (8'-2"), joins, and a comma
// may part terms (3 lb, 4 oz).
func takeUnit(k *kind, s string) (name, rest string) {
	s = strings.TrimLeft(s, " ")
	if len(s) > 1 && s[0] == '-' && isLetter(s[1]) {
		s = s[1:]
	}
	end := 0
	for end < len(s) && !startsTerm(k, s, end) {
		end++
	}
	rest = s[end:]
	if end > 0 && s[end-1] != ' ' && rest != "" && (rest[0] == ',' || isRange(rest)) {
		rest = rest[1:]
	}
	name = strings.ReplaceAll(strings.ReplaceAll(s[:end], " ", ""), ".", "")
	if rest != "" {
		name = strings.TrimSuffix(name, ",")
	}
	return name, rest
}

// startsTerm reports whether a number begins at s[i].
func startsTerm(k *kind, s string, i int) bool {
	c := s[i]
	if c == '-' || (c == '.' || c == ',') && i+1 < len(s) && isDigit(s[i+1]) {
		return true
	}
	return isDigit(c) && (i == 0 || !isLetter(s[i-1]) && !isDigit(s[i-1]) || isLetter(s[i-1]) && startsAfterUnit(k, s, i))
}

// startsAfterUnit reports whether digits right after a letter begin a number
// (the 2 of 8ft2in) rather than belong to the unit (the 2 of 8 ft2).
func startsAfterUnit(k *kind, s string, i int) bool {
	end := i + digits(s[i:])
	start := i
	for start > 0 && isLetter(s[start-1]) {
		start--
	}
	_, together := k.units[strings.ToLower(s[start:end])]
	_, alone := k.units[strings.ToLower(s[start:i])]
	return !together && alone && end < len(s)
}

// factor finds a unit by its name, in singular or plural.
func (r *reader) factor(k *kind, written string) (*big.Rat, *Error) {
	name := strings.ToLower(written)
	if name == "" && r.bare != "" && k == r.kind {
		name = r.bare
	}
	if r.kind == rateKind || r.kind == massKind {
		says := unsaid
		if name, says = takeBasis(name); says != unsaid {
			r.says = says
		}
	}
	if either := r.unclear(k, name, written); either != "" {
		return nil, r.fail("could be "+either, ErrUnclear)
	}
	r.pounds = r.pounds || k == massKind && slices.Contains(poundUnits, name)
	if f, ok := k.units[name]; ok {
		return f.rat(), nil
	}
	if k == massKind && (name == "bu" || name == "bushel" || name == "bushels") {
		return r.bushelWeight()
	}
	if name == "" {
		return nil, r.fail("has no unit (known: "+r.kind.known+")", ErrUnit)
	}
	return nil, r.unknown(name)
}

// unclear gives the two meanings of a unit that has two, or nothing.
func (r *reader) unclear(k *kind, name, written string) string {
	switch {
	case k == areaKind && name == "a" && written != "A" && !r.pounds:
		return "acres (ac) or ares of 100 m2"
	case k == countKind && name == "m":
		return "thousands or millions (write 220k or 1.2 million)"
	}
	return ""
}

func (r *reader) bushelWeight() (*big.Rat, *Error) {
	if r.bushel <= 0 {
		return nil, r.fail("is in bushels, a volume whose mass depends on the species"+
			" (what a bushel of it weighs may be written beside it: 0.4 bu at 32 lb/bu)", ErrUnit)
	}
	r.inBushels = true
	return new(big.Rat).SetInt64(int64(r.bushel)), nil
}

// unknown says what a text with a strange unit is instead, if it is anything.
func (r *reader) unknown(name string) *Error {
	for _, k := range others() {
		if k != r.kind && r.isA(k) {
			return r.fail("is "+indefinite(k.name), ErrUnit)
		}
	}
	return r.fail(fmt.Sprintf("has the unknown unit %q (known: %s)", name, r.kind.known), ErrUnit)
}

// isA reports whether the text reads as a quantity of kind k, without asking
// any further what else it might be.
func (r *reader) isA(k *kind) bool {
	s := plain(r.text)
	top, bottom, split := splitPer(s)
	switch k {
	case rateKind:
		return split && r.allUnits(massKind, top) && r.allUnits(areaKind, bottom)
	case densityKind:
		return split && r.allUnits(countKind, top) && r.allUnits(areaKind, bottom)
	}
	return r.allUnits(k, s)
}

// allUnits reports whether s is a list of numbers, each with a unit of k.
func (r *reader) allUnits(k *kind, s string) bool {
	for s != "" {
		if _, rest, bad := r.take(s); bad == nil {
			s = rest
		}
		name, rest := takeUnit(k, s)
		name = strings.ToLower(name)
		if k == massKind {
			name, _ = takeBasis(name)
		}
		if _, ok := k.units[name]; !ok || rest == s {
			return false
		}
		s = rest
	}
	return true
}

// isBare reports whether s is a number without a unit.
func (r *reader) isBare(s string) bool {
	_, rest, bad := r.take(s)
	return bad == nil && strings.TrimSpace(rest) == ""
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
	if bad == nil {
		bad = r.checkBasis()
	}
	if bad != nil {
		return 0, bad
	}
	return r.settle(exact)
}
