package units

import (
	"math/big"
	"strings"
)

// The About methods write what was worked out, to no more figures than it is
// good for: two, and never fewer than the whole number. What somebody wrote is
// for Written and Format.

// About gives lb, or oz below one pound; kg, or g below one kilogram.
func (m Mass) About(s System) string {
	size := max(m, -m)
	switch {
	case s == Metric && size < 1_000_000:
		return show(int64(m), massUnits["g"], 2) + " g"
	case s == Metric:
		return show(int64(m), massUnits["kg"], 2) + " kg"
	case size < 453_592:
		return show(int64(m), massUnits["oz"], 2) + " oz"
	}
	return show(int64(m), massUnits["lb"], 2) + " lb"
}

// About gives acres, or hectares, to a tenth from ten on.
func (a Area) About(s System) string {
	x, unit, name := a.Acres(), areaUnits["ac"], " ac"
	if s == Metric {
		x, unit, name = a.Hectares(), areaUnits["ha"], " ha"
	}
	figures := 2
	if x >= 10 {
		figures = 3
	}
	return show(int64(a), unit, figures) + name
}

// The Read methods write an answer as people read it: as Format does, to three
// figures, or two below one of the unit.

// Read gives lb, or oz below one pound; kg, or g below one kilogram.
func (m Mass) Read(s System) string { return read(m.Format, s, int64(m), massUnits) }

// ReadGrams gives grams in any system.
func (m Mass) ReadGrams() string { return readIn(int64(m), massUnits["g"]) + " g" }

// Read gives acres, or square feet below a hundredth of one; hectares, or
// square metres below a hundredth of one.
func (a Area) Read(s System) string { return read(a.Format, s, int64(a), areaUnits) }

// read is a quantity in the unit that its Format chooses.
func read(format func(System) string, s System, v int64, known map[string]ratio) string {
	_, name, _ := strings.Cut(format(s), " ")
	return readIn(v, known[name]) + " " + name
}

func readIn(v int64, unit ratio) string {
	x := new(big.Rat).SetInt64(v)
	if x.Quo(x, unit.rat()); x.Abs(x).Cmp(big.NewRat(1, 1)) < 0 {
		return show(v, unit, 2)
	}
	return show(v, unit, 3)
}
