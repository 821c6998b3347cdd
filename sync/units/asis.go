package units

import (
	"math/big"
	"strings"
)

// In is the units that an amount was written in, a bit for each; 0 where
// nobody knows. 5 lb 3 oz is in two. A mass, a volume and a length each have
// bits of their own, whose meanings stay for ever: they are in the record.
type In uint64

// KeepIn keeps the units that the amount is written in, so that it can be shown
// again as it was written. Units that have no bit leave 0.
func KeepIn(in *In) Option { return func(o *options) { o.in = in } }

// The units with a bit, the first bit first.
var (
	massIn = []inUnit{{massUnits["g"], "g", 3}, {massUnits["lb"], "lb", 3}, {massUnits["oz"], "oz", 2}, {massUnits["kg"], "kg", 3},
		{massUnits["t"], "t", 4}, {massUnits["cwt"], "cwt", 3}, {massUnits["ton"], "tons", 4}, {massUnits["mg"], "mg", 0}}
	volumeIn = []inUnit{{volumeUnits["cup"], "cups", 2}, {volumeUnits["qt"], "qt", 2}, {volumeUnits["gal"], "gal", 2}, {volumeUnits["bu"], "bu", 3},
		{volumeUnits["pt"], "pt", 2}, {volumeUnits["l"], "l", 3}, {volumeUnits["ml"], "ml", 0}, {volumeUnits["floz"], "fl oz", 1},
		{volumeUnits["pk"], "pk", 2}, {volumeUnits["ft3"], "ft3", 3}, {volumeUnits["in3"], "in3", 1}, {volumeUnits["m3"], "m3", 3}}
	lengthIn = []inUnit{{lengthUnits["ft"], "ft", 3}, {lengthUnits["in"], "in", 3}, {lengthUnits["m"], "m", 3}, {lengthUnits["cm"], "cm", 2},
		{lengthUnits["mm"], "mm", 1}, {lengthUnits["yd"], "yd", 3}, {lengthUnits["mi"], "mi", 4}, {lengthUnits["km"], "km", 4}}
)

// Single units of a mass.
const (
	InGrams     In = 1
	InPounds    In = 2
	InOunces    In = 4
	InKilograms In = 8
)

// The greatest values of In: one with every bit of its quantity.
var (
	MassIn   = In(1)<<len(massIn) - 1
	VolumeIn = In(1)<<len(volumeIn) - 1
	LengthIn = In(1)<<len(lengthIn) - 1
)

// keepIn keeps the unit of one term, by its factor. A term without a bit leaves
// none of the others.
func (r *reader) keepIn(k *kind, factor *big.Rat) {
	if r.in == nil || k != r.kind {
		return
	}
	bit := In(0)
	for i, u := range bitsOf(k) {
		if u.unit.rat().Cmp(factor) == 0 && !r.inBushels {
			bit = 1 << i
		}
	}
	if r.noBit = r.noBit || bit == 0; r.noBit {
		*r.in = 0
		return
	}
	*r.in |= bit
}

func bitsOf(k *kind) []inUnit {
	switch k {
	case massKind:
		return massIn
	case volumeKind:
		return volumeIn
	case lengthKind:
		return lengthIn
	}
	return nil
}

// As gives the mass in the units that it was written in, or as Written does
// where they do not give the very same mass.
func (m Mass) As(in In, s System) string {
	if text, ok := as(int64(m), in, massIn); ok {
		return text
	}
	return m.Written(s)
}

// As gives the volume in the units that it was written in, or by FormatMeasure
// where they do not give the very same volume.
func (v Volume) As(in In, s System) string {
	if text, ok := as(int64(v), in, volumeIn); ok {
		if one := volumeUnits["cup"].rat(); in == 1 && v <= Volume(nearest(one)) {
			return strings.TrimSuffix(text, "s")
		}
		return text
	}
	return v.FormatMeasure(s)
}

// As gives the length in the units that it was written in, or as Format does
// where they do not give the very same length.
func (l Length) As(in In, s System) string {
	if text, ok := as(int64(l), in, lengthIn); ok {
		return text
	}
	return l.Format(s)
}

// as writes v in the units of in, from large to small, whole numbers in all but
// the last, where that reads back as v.
func as(v int64, in In, known []inUnit) (text string, ok bool) {
	said := new(big.Rat) // how much of v is in text
	for in != 0 && in < 1<<len(known) {
		at := largest(in, known)
		in &^= 1 << at
		u := known[at]
		if in == 0 {
			last, ok := shortest(v, said, u)
			if last == "0" && text != "" {
				return strings.TrimSuffix(text, " "), ok
			}
			return text + last + " " + u.name, ok
		}
		if whole := wholes(v, said, u); whole.Sign() > 0 {
			text += commas(whole.String()) + " " + u.name + " "
			said.Add(said, new(big.Rat).Mul(new(big.Rat).SetInt(whole), u.unit.rat()))
		}
	}
	return "", false
}

// largest is the place of the largest of the units.
func largest(in In, known []inUnit) (at int) {
	at = -1
	for i, u := range known {
		if in&(1<<i) != 0 && (at < 0 || u.unit.rat().Cmp(known[at].unit.rat()) > 0) {
			at = i
		}
	}
	return at
}

// wholes is how many times a unit goes into v less what is said: v was rounded,
// so half of the smallest step more may be in it.
func wholes(v int64, said *big.Rat, u inUnit) *big.Int {
	x := new(big.Rat).Add(big.NewRat(v, 1), big.NewRat(1, 2))
	x.Quo(x.Sub(x, said), u.unit.rat())
	return new(big.Int).Quo(x.Num(), x.Denom())
}

// typedParts are the parts that people write a unit in and that few decimals do
// not give: those of the signs ⅓ to ⅑, and the sixteenths of rulers and scales.
var typedParts = []int64{3, 8, 6, 7, 9, 16}

// shortest is what makes v of what is said, in a unit: as a number of few
// decimals, or as a whole number and a fraction of typedParts.
func shortest(v int64, said *big.Rat, u inUnit) (string, bool) {
	x := new(big.Rat).Sub(big.NewRat(v, 1), said)
	x.Quo(x, u.unit.rat())
	makesV := func(n *big.Rat) bool {
		n = new(big.Rat).Mul(n, u.unit.rat())
		return nearest(n.Add(n, said)) == v
	}
	if text, ok := u.fewest(x, func(n *big.Rat) bool { return n.Sign() >= 0 && makesV(n) }); ok {
		return commas(strings.TrimPrefix(trimmed(text), "-")), true
	}
	for _, parts := range typedParts {
		n := new(big.Rat).Mul(x, big.NewRat(parts, 1))
		typed := big.NewRat(nearest(n), parts)
		if typed.Sign() > 0 && makesV(typed) {
			return mixed(typed), true
		}
	}
	return "", false
}

// mixed writes 1/3, or 2 1/3.
func mixed(x *big.Rat) string {
	whole, part := new(big.Int).QuoRem(x.Num(), x.Denom(), new(big.Int))
	text := part.String() + "/" + x.Denom().String()
	if whole.Sign() > 0 {
		return commas(whole.String()) + " " + text
	}
	return text
}

// OneIn is the units that all amounts of a list were written in; 0 where they
// differ.
func OneIn(ins []In) In {
	for _, in := range ins {
		if in != ins[0] {
			return 0
		}
	}
	if len(ins) == 0 {
		return 0
	}
	return ins[0]
}
