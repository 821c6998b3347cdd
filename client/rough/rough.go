// Package rough rounds what is worked out to what it is good for, before a
// screen or a command shows it. What somebody wrote is shown as it is.
//
// How far each goes is our own choice: nobody tells seed in a box closer than a
// pound, nor how far it goes closer than a tenth of an acre.
package rough

import (
	"math"
	"strconv"

	"turnrow/sync/units"
)

// Way rounds a number to a whole one: math.Round, or math.Floor and math.Ceil
// for the ends of an interval, which go outwards.
type Way func(float64) float64

// Area is an area in steps of a tenth of an acre or hectare, finer where it is
// less than one.
func Area(a units.Area, s units.System) units.Area {
	of, from := areaIn(s)
	return stepped(a, of(a), 1, from, math.Round)
}

// AreaEnd is an end of a range of areas, to a tenth of an acre or hectare.
func AreaEnd(a units.Area, s units.System, way Way) units.Area {
	of, from := areaIn(s)
	if t, err := from(Tenth(of(a), way)); err == nil {
		return t
	}
	return a
}

// AreaTenths is an area in acres or hectares with one place, and its unit.
func AreaTenths(a units.Area, s units.System, way Way) string {
	of, _ := areaIn(s)
	unit := " ac"
	if s == units.Metric {
		unit = " ha"
	}
	return strconv.FormatFloat(Tenth(of(a), way), 'f', 1, 64) + unit
}

func areaIn(s units.System) (of func(units.Area) float64, from func(float64) (units.Area, error)) {
	if s == units.Metric {
		return units.Area.Hectares, units.AreaFromHectares
	}
	return units.Area.Acres, units.AreaFromAcres
}

// Tenth is x to a tenth. What lies within a millionth of one is taken for it, so
// that ends of an interval do not go a step further for a last digit.
func Tenth(x float64, way Way) float64 { return way(math.Round(x*1e6)/1e5) / 10 }

// Counted is an area to hundredths of an acre, as a counter shows it.
func Counted(a units.Area) units.Area {
	const hundredth = 404_686 // cm²: 0.01 ac
	return (a + hundredth/2) / hundredth * hundredth
}

// Mass is seed in whole pounds or kilograms, finer where it is less than ten.
func Mass(m units.Mass, s units.System, way Way) units.Mass {
	of, from := units.Mass.Pounds, units.MassFromPounds
	if s == units.Metric {
		of, from = units.Mass.Kilograms, func(kg float64) (units.Mass, error) { return units.MassFromGrams(kg * 1000) }
	}
	return stepped(m, of(m), 10, from, way)
}

// Poured is a mass of seed to what a person can see: a tenth of a pound or of a
// kilogram from one on.
func Poured(m units.Mass, s units.System) string {
	tenth, one := units.Mass(45_359), units.Mass(453_592) // mg
	if s == units.Metric {
		tenth, one = 100_000, 1_000_000
	}
	switch {
	case m == 0:
		return "none"
	case m < one:
		return m.About(s)
	}
	return ((m + tenth/2) / tenth * tenth).Format(s)
}

// finest is as many steps of a pound or an acre as are ever shown.
const finest = 10_000

// stepped brings x to a tenth of a bound from that bound on, and to ten times
// finer steps for each tenth of it that x is smaller; exact where that is out of
// range.
func stepped[T any](exact T, x, bound float64, from func(float64) (T, error), way Way) T {
	step := 10 / bound
	for ; x > 0 && x < bound && step < finest; bound /= 10 {
		step *= 10
	}
	if r, err := from(way(x*step) / step); err == nil {
		return r
	}
	return exact
}

// Dial is a setting that was worked out, to a tenth.
func Dial(d units.Dial) string {
	return strconv.FormatFloat(math.Round(d.Float()*10)/10, 'f', -1, 64)
}

// Percent is a fraction in whole per cent.
func Percent(x float64) int { return int(math.Round(x * 100)) }
