package units

import "math/big"

// ratio is an exact factor from a unit to the small fixed unit of its type.
type ratio struct{ num, den int64 }

func (r ratio) rat() *big.Rat { return big.NewRat(r.num, r.den) }

// kind describes one quantity: what it is called, how far it may go, and the
// units that it may be written in.
type kind struct {
	name    string
	example string
	span    string // allowed range, for people
	known   string // units, for people
	max     int64  // in the type's fixed unit; the least is always 0
	units   map[string]ratio
}

func (k *kind) fail(text, problem string, cause error) *Error {
	return &Error{Quantity: k.name, Text: text, Problem: problem,
		Range: k.span, Example: k.example, cause: cause}
}

// The greatest values are far beyond any farm and far below 64 bits, so that
// a slip of the finger is caught and sums of many stay safe.
var (
	massKind = &kind{name: "mass", example: "50 lb", span: "0 to 1,000,000 t",
		known: "µg, mg, g, kg, t, oz, lb, cwt, ton", max: 1e15, units: massUnits}
	lengthKind = &kind{name: "length", example: "7.5 in or 8 ft 2 in", span: "0 to 40,000 km",
		known: "µm, mm, cm, m, km, in, ft, yd, mi", max: 4e13, units: lengthUnits}
	areaKind = &kind{name: "area", example: "7.5 ac", span: "0 to 10,000,000 ha",
		known: "cm2, m2, ha, km2, in2, ft2, yd2, ac, mi2", max: 1e15, units: areaUnits}
	volumeKind = &kind{name: "volume", example: "1.5 bu", span: "0 to 1,000,000 m3",
		known: "ml, l, m3, in3, ft3, fl oz, cup, pt, qt, gal, pk, bu", max: 1e12, units: volumeUnits}
	rateKind = &kind{name: "rate", example: "23 lb/ac", span: "0 to 100,000 kg/ha",
		known: "a mass over an area: lb/ac, oz/ac, kg/ha, g/m2", max: 1e10}
	densityKind = &kind{name: "density", example: "30 seeds/ft2", span: "0 to 1,000,000,000 /m2",
		known: "a count over an area: seeds/ft2, plants/m2, /ac", max: 1e12}
	speedKind = &kind{name: "speed", example: "5 mph", span: "0 to 1,000 km/h",
		known: "mph, km/h, m/s, ft/min, ft/s", max: 1e9, units: speedUnits}
	shareKind = &kind{name: "share", example: "98%", span: "0 to 100 %",
		known: "%", max: int64(Whole), units: map[string]ratio{"%": {1000, 1}, "percent": {1000, 1}, "pct": {1000, 1}}}
	moneyKind = &kind{name: "amount of money", example: "14.50", span: "0 to 10,000,000,000",
		known: "$, €, £ or none", max: 1e12, units: moneyUnits}
	dialKind = &kind{name: "dial setting", example: "42.5", span: "0 to 1,000,000",
		known: "marks or none", max: 1e9, units: map[string]ratio{"": {1000, 1}, "mark": {1000, 1}, "marks": {1000, 1}}}
	turnsKind = &kind{name: "number of turns", example: "20", span: "0 to 1,000,000,000",
		known: "turns or none", max: 1e12, units: turnUnits}
	readingKind = &kind{name: "counter reading", example: "123.4", span: "0 to 1,000,000,000",
		known: "none: the number as the counter shows it", max: 1e12, units: map[string]ratio{"": {1000, 1}}}
	countKind = &kind{name: "count", example: "3", span: "0 to 1,000,000,000,000",
		known: "none, or bags, seeds, plants, rows, million", max: 1e15, units: countUnits}
)

// others are the quantities that a text is tried as when it is none of the
// wanted one, to say what it is instead.
func others() []*kind {
	return []*kind{massKind, lengthKind, areaKind, volumeKind, rateKind, densityKind,
		speedKind, shareKind}
}
