package rate

import "turnrow/sync/units"

// Run is the ground that seed was caught over, or is to be: how far (Roll and
// Turns, or Distance) by how wide (Rows and Spacing, or Width).
type Run struct {
	Roll     units.Length // rolling circumference of the wheel that is turned
	Turns    units.Turns
	Distance units.Length // driven or paced, in place of Roll and Turns
	Rows     int          // rows whose seed is caught
	Spacing  units.Length
	Width    units.Length // of the whole catch, in place of Rows or of Spacing, or of both
	Drill    int          // rows of the whole drill; 0 where it is not known
}

// Area is the ground of the run: distance × width. Exactly one way of giving
// each must be used, with values above 0, and no more rows caught than the
// drill has; otherwise it is a RangeError. Source: Wyoming Livestock Roundup,
// "Calibration is key to accurate seeding rates".
func (r Run) Area() (units.Area, error) {
	a, err := r.squareMetres()
	if err != nil {
		return 0, err
	}
	return units.AreaFromSquareMetres(a)
}

func (r Run) squareMetres() (float64, error) {
	along, err := r.length()
	if err != nil {
		return 0, err
	}
	across, err := r.width()
	return along * across, err
}

// length is the distance in metres.
func (r Run) length() (float64, error) {
	if r.Distance != 0 {
		if r.Roll != 0 || r.Turns != 0 {
			return 0, refuse("distance", r.Distance, "left out where the turns of a wheel are given")
		}
		return r.Distance.Metres(), checkLength("distance", r.Distance)
	}
	if err := checkLength("wheel roll", r.Roll); err != nil {
		return 0, err
	}
	return r.Roll.Metres() * r.Turns.Float(), checkTurns(r.Turns)
}

// width is the width in metres.
func (r Run) width() (float64, error) {
	if r.Drill < 0 || r.Drill > maxRows {
		return 0, refuse("rows of the drill", r.Drill, "from 1 to %d, or left out", maxRows)
	}
	if r.Width != 0 {
		if r.Rows != 0 && r.Spacing != 0 {
			return 0, refuse("width", r.Width, "left out where rows and spacing are given")
		}
		if err := checkLength("width", r.Width); err != nil {
			return 0, err
		}
		return r.Width.Metres(), r.checkRowsCaught()
	}
	if err := r.checkRowsCaught(); err != nil {
		return 0, err
	}
	w, err := Width(r.Rows, r.Spacing)
	return w.Metres(), err
}

// rowsCaught is how many rows the run holds: as given, or those that its width
// holds at the row spacing; 0 where only a width is known.
func (r Run) rowsCaught() int {
	if r.Rows == 0 && r.Width > 0 && r.Spacing > 0 {
		return int((r.Width + r.Spacing/2) / r.Spacing)
	}
	return r.Rows
}

func (r Run) checkRowsCaught() error {
	n := r.rowsCaught()
	switch {
	case n < 0 || r.Width > 0 && r.Spacing > 0 && n < 1:
		return refuse("rows in the width", n, "1 or more")
	case n > maxRows:
		return refuse("number of rows", n, "from 1 to %d", maxRows)
	case r.Drill > 0 && n > r.Drill:
		return refuse("rows caught", n, "from 1 to the drill's %d", r.Drill)
	}
	return nil
}

// Aim is the mass to catch over the run for a rate: rate × area, the reverse
// of Catch.Rate. The rate must be above 0. Source: Soil Health Labs, "How to
// Calibrate a Grain Drill"; with one row and 150 ft, University of Kentucky.
func (r Run) Aim(rate units.RatePerArea) (units.Mass, error) {
	if err := checkRate("rate", rate); err != nil {
		return 0, err
	}
	area, err := r.squareMetres()
	if err != nil {
		return 0, err
	}
	return units.MassFromGrams(rate.GramsPerSquareMetre() * area)
}

// SideAims is the mass to catch on each side of a box whose sides feed so many
// rows each, over the run's distance and row spacing. Each side feeds 1 to
// 1,000 rows.
func (r Run) SideAims(rate units.RatePerArea, rows []int) ([]units.Mass, error) {
	aims := make([]units.Mass, len(rows))
	for i, n := range rows {
		side := Run{Roll: r.Roll, Turns: r.Turns, Distance: r.Distance, Rows: n, Spacing: r.Spacing}
		var err error
		if aims[i], err = side.Aim(rate); err != nil {
			return nil, err
		}
	}
	return aims, nil
}

// explain writes the sum of Area and gives the area in m².
func (r Run) explain(p *paper) (float64, error) {
	area, err := r.squareMetres()
	if err != nil {
		return 0, err
	}
	along, _ := r.length()
	if r.Distance == 0 {
		p.line("distance = %v turns × roll %s = %s", r.Turns, p.length(r.Roll.Metres()), p.length(along))
	}
	across, _ := r.width()
	if r.Width == 0 {
		p.line("width = %d rows × %s = %s", r.Rows, r.Spacing.Format(p.system), p.length(across))
	}
	p.line("area = %s × %s = %s = %s", p.length(along), p.length(across), p.area(area), p.field(area))
	return area, nil
}

// ExplainAim writes the sum of Aim.
func (r Run) ExplainAim(rate units.RatePerArea, system units.System) ([]string, error) {
	aim, err := r.Aim(rate)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	area, err := r.explain(p)
	if err != nil {
		return nil, err
	}
	grams := ""
	if !p.metric() {
		grams = " = " + aim.FormatGrams()
	}
	p.line("aim = %s × %s = %s%s", p.rate(rate.GramsPerSquareMetre()), p.field(area), p.mass(aim.Grams()), grams)
	return p.lines, nil
}
