package sheet

import (
	"math"
	"strconv"
	"strings"

	"turnrow/sync/units"
)

// kind is what the cells of a column hold. It decides the unit in the head,
// the digits shown, and how other programs are told the unit.
type kind int

const (
	prose kind = iota // text
	mass
	area
	bulk // a rate: mass to the area
	density
	length
	share
	dial
	number // a count, a reading, turns: a plain number
	whole  // a number of things that come in ones
	money
	day
	clock    // a moment
	interval // half the width of an interval, in the unit of a rate
	scale    // a mass on a kitchen scale: grams everywhere
)

// unit is how people and programs call a kind's unit.
type unit struct{ people, program string }

var unitsOf = map[kind][2]unit{
	mass:     {{"lb", "lb"}, {"kg", "kg"}},
	area:     {{"ac", "acres"}, {"ha", "ha"}},
	bulk:     {{"lb/ac", "lb_per_ac"}, {"kg/ha", "kg_per_ha"}},
	interval: {{"lb/ac", "lb_per_ac"}, {"kg/ha", "kg_per_ha"}},
	density:  {{"/ft²", "per_ft2"}, {"/m²", "per_m2"}},
	length:   {{"in", "in"}, {"mm", "mm"}},
	share:    {{"%", ""}, {"%", ""}},
	scale:    {{"g", "g"}, {"g", "g"}},
}

func (k kind) unit(s units.System) unit { return unitsOf[k][s] }

// onTheRight says whether cells line up on the right, as numbers do.
func (k kind) onTheRight() bool { return k != prose && k != clock && k != day }

// value is what a cell holds: a quantity of package units, a string, a Day, a
// moment, an int64, or nil for an empty cell.
type value any

// unsaid is a figure that nothing tells. People read that it is not known;
// programs get nothing.
type unsaid struct{}

// known is a figure, or that it is not known.
func known(v value, is bool) value {
	if !is {
		return unsaid{}
	}
	return v
}

// float is a value as a number in the unit of a system; ok is false where it
// is none.
func float(v value, s units.System) (x float64, ok bool) {
	metric := s == units.Metric
	pick := func(us, si float64) (float64, bool) {
		if metric {
			return si, true
		}
		return us, true
	}
	switch v := v.(type) {
	case units.Mass:
		return pick(v.Pounds(), v.Kilograms())
	case units.Area:
		return pick(v.Acres(), v.Hectares())
	case units.RatePerArea:
		return pick(v.LbPerAcre(), v.KgPerHa())
	case units.Density:
		return pick(v.PerSquareFoot(), v.PerSquareMetre())
	case units.Length:
		return pick(v.Inches(), v.Millimetres())
	case grams:
		return units.Mass(v).Grams(), true
	case interface{ Float() float64 }: // dials, turns, readings, counts, money
		return v.Float(), true
	case units.Share:
		return v.Fraction(), true
	case int64:
		return float64(v), true
	}
	return 0, false
}

// grams is a mass that is shown in grams in every system, as a kitchen scale
// shows it.
type grams units.Mass

// text is a value as people read it, in the unit of its column's head.
func text(v value, k kind, s units.System, sign string) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return v
	case unsaid:
		return "not known"
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case units.Money:
		return v.Format(sign)
	case interface{ String() string }:
		if k == day || k == clock || k == number || k == dial {
			return v.String()
		}
	}
	x, ok := float(v, s)
	switch {
	case !ok:
		return ""
	case k == share:
		return short(x * 100)
	case k == whole:
		return plain(x, 0)
	}
	return plain(x, max(decimals(x), typed(v, x, s)))
}

// typed is how many digits after the point a mass was typed with, where it is
// a figure that somebody typed in the unit shown: it comes back as it was.
func typed(v value, x float64, s units.System) int {
	m, ok := v.(units.Mass)
	if !ok {
		return 0
	}
	const most = 3
	for d := decimals(x); d <= most; d++ {
		y, err := strconv.ParseFloat(plain(x, d), 64)
		back, bad := units.MassFromPounds(y)
		if s == units.Metric {
			back, bad = units.MassFromGrams(y * 1000)
		}
		if err == nil && bad == nil && back == m {
			return d
		}
	}
	return 0
}

// decimals is how many digits after the point are read at a glance and still
// say enough: three or four figures.
func decimals(x float64) int {
	switch x = math.Abs(x); {
	case x >= 1000:
		return 0
	case x >= 10:
		return 1
	}
	return 2
}

// plain writes a number with a fixed count of decimals. What rounds to nothing
// has no sign.
func plain(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}

// short writes a per cent without trailing noughts, as a tag prints it.
func short(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(plain(x, 2), "0"), ".")
}

// figures is how many significant figures a number carries to other programs:
// more than anything here is good to.
const figures = 6

// rounded is x with six significant figures.
func rounded(x float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', figures, 64), 64)
	if err != nil {
		return x
	}
	return r
}
