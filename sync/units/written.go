package units

import (
	"math/big"
	"strings"
)

// The Written methods below give a quantity as somebody typed it: in the first
// common unit, those of the system before the others, in which a number of few
// decimals reads back as the very same value. A quantity that nobody typed, a
// sum or a share, is written by Format.

// inUnit is a unit to write in, and how many decimals people type of it.
type inUnit struct {
	unit     ratio
	name     string
	decimals int
}

// Written gives lb, oz, kg or g: what 400 g was typed as stays 400 g.
func (m Mass) Written(s System) string {
	lb, oz := inUnit{massUnits["lb"], "lb", 3}, inUnit{massUnits["oz"], "oz", 2}
	kg, g := inUnit{massUnits["kg"], "kg", 2}, inUnit{massUnits["g"], "g", 1}
	order := []inUnit{lb, kg, g, oz}
	switch small := m < 453_592; {
	case s == Metric && m < 1_000_000:
		order = []inUnit{g, oz, lb, kg}
	case s == Metric:
		kg.decimals = 3
		order = []inUnit{kg, lb, g, oz}
	case small:
		order = []inUnit{oz, lb, g, kg}
	}
	return written(int64(m), order, m.Format(s))
}

// Written gives lb/ac or kg/ha.
func (r RatePerArea) Written(s System) string {
	order := []inUnit{{poundPerAcre, "lb/ac", 2}, {ratio{100_000, 1}, "kg/ha", 2}}
	if s == Metric {
		order[0], order[1] = order[1], order[0]
	}
	return written(int64(r), order, r.Format(s))
}

// written is v in the first unit in which it is short, or otherwise.
func written(v int64, order []inUnit, otherwise string) string {
	exact := new(big.Rat).SetInt64(v)
	for i, u := range order {
		text, ok := u.fewest(new(big.Rat).Quo(exact, u.unit.rat()), func(typed *big.Rat) bool {
			return nearest(typed.Mul(typed, u.unit.rat())) == v
		})
		if i > 0 && len(strings.TrimLeft(strings.Trim(text, "0"), ".0")) > 6 {
			continue // six figures or more are a coincidence, not what somebody weighed
		}
		if ok {
			return commas(trimmed(text)) + " " + u.name
		}
	}
	return otherwise
}

// fewest writes x with the fewest decimals, of those that people type of the
// unit, that still give what is wanted.
func (u inUnit) fewest(x *big.Rat, gives func(typed *big.Rat) bool) (text string, ok bool) {
	for n := 0; n <= u.decimals; n++ {
		text := x.FloatString(n)
		if typed, ok := new(big.Rat).SetString(text); ok && gives(typed) {
			return text, true
		}
	}
	return "", false
}

// nearest is the whole number nearest to x, half away from zero.
func nearest(x *big.Rat) int64 {
	n, ok := new(big.Int).SetString(x.FloatString(0), 10)
	if !ok || !n.IsInt64() {
		return -1
	}
	return n.Int64()
}

func trimmed(text string) string {
	if !strings.Contains(text, ".") {
		return text
	}
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}
