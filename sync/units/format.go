package units

import (
	"math/big"
	"strconv"
	"strings"
)

// System is the family of units that a person wants to read.
type System int

// The systems that quantities are printed in.
const (
	US     System = iota // pounds, feet and inches, acres
	Metric               // kilograms, metres, hectares
)

// ParseSystem reads "us" or "metric".
func ParseSystem(text string) (System, error) {
	switch strings.ToLower(plain(text)) {
	case "us":
		return US, nil
	case "metric":
		return Metric, nil
	}
	return US, &Error{Quantity: "system of units", Text: text, Problem: "is neither us nor metric",
		Range: "us or metric", Example: "us", cause: ErrSyntax}
}

// String gives "us" or "metric".
func (s System) String() string {
	if s == Metric {
		return "metric"
	}
	return "us"
}

// The Format methods below round for reading: three or four significant
// figures, never fewer than the whole number. For text that reads back as the
// very same value, use String.

// Format gives lb, or oz below one pound; kg, or g below one kilogram.
func (m Mass) Format(s System) string {
	switch {
	case s == Metric && m > -1_000_000 && m < 1_000_000:
		return show(int64(m), massUnits["g"], 4) + " g"
	case s == Metric:
		return show(int64(m), massUnits["kg"], 4) + " kg"
	case m > -453_592 && m < 453_592:
		return show(int64(m), massUnits["oz"], 4) + " oz"
	}
	return show(int64(m), massUnits["lb"], 4) + " lb"
}

// FormatGrams gives grams in any system, as a kitchen scale shows them.
func (m Mass) FormatGrams() string { return show(int64(m), massUnits["g"], 4) + " g" }

// Format gives inches, from 12 in on feet and inches, from 100 ft on feet;
// mm, from 1 m on m.
func (l Length) Format(s System) string {
	switch {
	case s == Metric && l > -1_000_000 && l < 1_000_000:
		return show(int64(l), lengthUnits["mm"], 4) + " mm"
	case s == Metric:
		return show(int64(l), lengthUnits["m"], 4) + " m"
	case l < 0 || l >= 100*304_800:
		return show(int64(l), lengthUnits["ft"], 4) + " ft"
	case l < 304_800:
		return show(int64(l), lengthUnits["in"], 3) + " in"
	}
	tenths := (int64(l) + 1270) / 2540 // of an inch, rounded before it is parted
	text := strconv.FormatInt(tenths/120, 10) + " ft"
	if tenths%120 != 0 {
		text += " " + decimal(tenths%120, 1) + " in"
	}
	return text
}

// Format gives acres, or ft2 below 0.01 ac; hectares, or m2 below 0.01 ha.
func (a Area) Format(s System) string {
	switch {
	case s == Metric && a > -1_000_000 && a < 1_000_000:
		return show(int64(a), areaUnits["m2"], 4) + " m2"
	case s == Metric:
		return show(int64(a), areaUnits["ha"], 4) + " ha"
	case a > -404_685 && a < 404_685:
		return show(int64(a), areaUnits["ft2"], 4) + " ft2"
	}
	return show(int64(a), areaUnits["ac"], 4) + " ac"
}

// Format gives bushels, or litres.
func (v Volume) Format(s System) string {
	if s == Metric {
		return show(int64(v), volumeUnits["l"], 4) + " l"
	}
	return show(int64(v), volumeUnits["bu"], 3) + " bu"
}

// FormatMeasure gives a volume as seed is poured: cups below a gallon, gallons
// below a bushel, then bushels; ml, from 1 l on litres.
func (v Volume) FormatMeasure(s System) string {
	const gallon, bushel = 3785, 35_239
	switch {
	case s == Metric && v < 1000:
		return show(int64(v), volumeUnits["ml"], 4) + " ml"
	case s == Metric || v >= bushel:
		return v.Format(s)
	case v >= gallon:
		return show(int64(v), volumeUnits["gal"], 3) + " gal"
	case v == 237: // to the millilitre
		return "1 cup"
	}
	return show(int64(v), volumeUnits["cup"], 3) + " cups"
}

// Format gives lb/ac, or kg/ha.
func (r RatePerArea) Format(s System) string {
	if s == Metric {
		return show(int64(r), ratio{100_000, 1}, 3) + " kg/ha"
	}
	return show(int64(r), poundPerAcre, 3) + " lb/ac"
}

// Format gives the count to the square foot, or to the square metre.
func (d Density) Format(s System) string {
	if s == Metric {
		return show(int64(d), ratio{1000, 1}, 3) + " /m2"
	}
	return show(int64(d), perSquareFoot, 3) + " /ft2"
}

// Format gives mph, or km/h.
func (v Speed) Format(s System) string {
	if s == Metric {
		return show(int64(v), speedUnits["km/h"], 3) + " km/h"
	}
	return show(int64(v), speedUnits["mph"], 3) + " mph"
}

// Format gives the amount with two decimals after a sign such as "$".
func (m Money) Format(sign string) string {
	if m < 0 {
		return "-" + (-m).Format(sign)
	}
	whole, cents := int64(m)/100, int64(m)%100
	return sign + commas(strconv.FormatInt(whole, 10)) + "." + strconv.FormatInt(100+cents, 10)[1:]
}

// poundPerAcre is 1 lb/ac in µg/m², and perSquareFoot 1/ft² in thousandths to
// the square metre; both exact.
var (
	poundPerAcre  = ratio{4_535_923_700_000_000, 40_468_564_224}
	perSquareFoot = ratio{100_000_000_000, 9_290_304}
)

// show writes v in a unit, rounded half away from zero to so many significant
// figures, without trailing zeros and with thousands commas.
func show(v int64, unit ratio, figures int) string {
	x := new(big.Rat).SetInt64(v)
	x.Quo(x, unit.rat())
	text := x.FloatString(decimals(x, figures))
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return commas(text)
}

// decimals is how many digits after the point leave x the figures wanted.
func decimals(x *big.Rat, figures int) int {
	const most = 8
	size := new(big.Rat).Abs(x)
	limit := big.NewRat(1, 1)
	ten := big.NewRat(10, 1)
	n := figures
	for ; n > 0 && size.Cmp(limit) >= 0; n-- {
		limit.Mul(limit, ten)
	}
	limit.SetFrac64(1, 10)
	for ; size.Sign() > 0 && size.Cmp(limit) < 0 && n < most; n++ {
		limit.Quo(limit, ten)
	}
	return n
}

// commas parts the thousands of a decimal text.
func commas(text string) string {
	start := 0
	if strings.HasPrefix(text, "-") {
		start = 1
	}
	end := strings.IndexByte(text, '.')
	if end < 0 {
		end = len(text)
	}
	for i := end - 3; i > start; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}
