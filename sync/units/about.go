package units

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
