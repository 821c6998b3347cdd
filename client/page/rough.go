package page

import (
	"math"
	"strconv"
	"strings"

	"turnrow/sync/units"
)

// What is worked out is shown to no more places than it is good for; what was
// written down is shown as it is.

// aboutArea writes an area in steps of a tenth of an acre or hectare, finer
// where it is less than one.
func aboutArea(a units.Area, s units.System) string {
	of, from, unit := units.Area.Acres, units.AreaFromAcres, " ac"
	if s == units.Metric {
		of, from, unit = units.Area.Hectares, units.AreaFromHectares, " ha"
	}
	if a == 0 {
		return "0" + unit
	}
	return rough(a, of(a), 1, from, math.Round).Format(s)
}

// areas writes a range of areas, its ends rounded outwards to a tenth of an
// acre or hectare: nobody knows closer than that how far seed goes.
func areas(low, high units.Area, s units.System) string {
	of, from := units.Area.Acres, units.AreaFromAcres
	if s == units.Metric {
		of, from = units.Area.Hectares, units.AreaFromHectares
	}
	end := func(a units.Area, way func(float64) float64) string {
		if t, err := from(way(math.Round(of(a)*1e6)/1e5) / 10); err == nil {
			a = t
		}
		if a == 0 {
			return aboutArea(0, s)
		}
		return a.Format(s)
	}
	return span(end(low, math.Floor), end(high, math.Ceil))
}

// masses writes a range of seed, its ends rounded outwards.
func masses(low, high units.Mass, s units.System) string {
	return span(roughly(low, s, math.Floor).Format(s), roughly(high, s, math.Ceil).Format(s))
}

// roughMass is a mass in whole pounds or kilograms, finer where it is less
// than ten.
func roughMass(m units.Mass, s units.System) units.Mass { return roughly(m, s, math.Round) }

func roughly(m units.Mass, s units.System, way func(float64) float64) units.Mass {
	of, from := units.Mass.Pounds, units.MassFromPounds
	if s == units.Metric {
		of, from = units.Mass.Kilograms, func(kg float64) (units.Mass, error) { return units.MassFromGrams(kg * 1000) }
	}
	return rough(m, of(m), 10, from, way)
}

// finest is as many steps of a pound or an acre as are ever shown.
const finest = 10_000

// rough brings x, by a way to round, to a tenth of a bound from that bound on, and to ten times
// finer steps for each tenth of it that x is smaller.
func rough[T any](exact T, x, bound float64, from func(float64) (T, error), way func(float64) float64) T {
	step := 10 / bound
	for ; x > 0 && x < bound && step < finest; bound /= 10 {
		step *= 10
	}
	if r, err := from(way(x*step) / step); err == nil {
		return r
	}
	return exact
}

// mark is a mark of a dial that was worked out, to a tenth.
func mark(d units.Dial) string {
	return strconv.FormatFloat(math.Round(d.Float()*10)/10, 'f', -1, 64)
}

// percent writes a fraction in whole per cent.
func percent(x float64) string {
	n := int(math.Round(x * 100))
	if n < 0 {
		return "−" + strconv.Itoa(-n) + " %"
	}
	return strconv.Itoa(n) + " %"
}

// span writes a range, with the unit once where both have the same.
func span(low, high string) string {
	l, unit, ok := strings.Cut(low, " ")
	if _, u, _ := strings.Cut(high, " "); ok && u == unit {
		low = l
	}
	return words.text("range", low, high)
}

// spanOfTime writes a range of minutes, its ends rounded outwards to five, in
// hours where it is long.
func spanOfTime(low, high float64) string {
	const hour, step = 60, 5
	low, high = math.Floor(low/step)*step, math.Ceil(high/step)*step
	if high < 2*hour {
		return span(strconv.Itoa(int(low))+" min", strconv.Itoa(int(high))+" min")
	}
	tenth := func(x float64) string { return strconv.FormatFloat(x/10, 'f', 1, 64) + " h" }
	return span(tenth(math.Floor(low*10/hour)), tenth(math.Ceil(high*10/hour)))
}
