package page

import (
	"math"
	"strconv"
	"strings"

	"turnrow/client/rough"
	"turnrow/sync/units"
)

// What is worked out is shown to no more places than it is good for; what was
// written down is shown as it is.

// aboutArea writes an area in steps of a tenth of an acre or hectare, finer
// where it is less than one.
func aboutArea(a units.Area, s units.System) string {
	switch {
	case a == 0 && s == units.Metric:
		return "0 ha"
	case a == 0:
		return "0 ac"
	}
	return rough.Area(a, s).Format(s)
}

// areas writes a range of areas, its ends rounded outwards to a tenth of an
// acre or hectare: nobody knows closer than that how far seed goes.
func areas(low, high units.Area, s units.System) string {
	end := func(a units.Area) string {
		if a == 0 {
			return aboutArea(0, s)
		}
		return a.Format(s)
	}
	return span(end(rough.AreaEnd(low, s, math.Floor)), end(rough.AreaEnd(high, s, math.Ceil)))
}

// masses writes a range of seed, its ends rounded outwards.
func masses(low, high units.Mass, s units.System) string {
	return span(rough.Mass(low, s, math.Floor).Format(s), rough.Mass(high, s, math.Ceil).Format(s))
}

// roughMass is a mass in whole pounds or kilograms, finer where it is less
// than ten.
func roughMass(m units.Mass, s units.System) units.Mass { return rough.Mass(m, s, math.Round) }

// mark is a mark of a dial that was worked out, to a tenth.
func mark(d units.Dial) string { return rough.Dial(d) }

// percent writes a fraction in whole per cent.
func percent(x float64) string {
	n := rough.Percent(x)
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
	return texts.Text("range", low, high)
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
