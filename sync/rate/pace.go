package rate

import "turnrow/sync/units"

// PerHour is the ground done in an hour: speed × width × field efficiency. In
// mph, ft and acres that is speed × width × efficiency ÷ 8.25. Speed and width
// must be above 0, the efficiency above 0 and up to 100 %. Sources: ASABE
// EP496 and D497; University of Kentucky Extension, AEN-73.
func PerHour(speed units.Speed, width units.Length, efficiency units.Share) (units.Area, error) {
	if speed <= 0 {
		return 0, refuse("speed", speed, "more than 0")
	}
	if err := checkLength("working width", width); err != nil {
		return 0, err
	}
	if efficiency <= 0 || efficiency > units.Whole {
		return 0, refuse("field efficiency", efficiency, "more than 0%% and at most 100%%")
	}
	return units.AreaFromSquareMetres(float64(speed) / 1000 * width.Metres() * efficiency.Fraction())
}

// HoursFor is how many hours a piece of ground takes at so much an hour. The
// pace must be above 0, the ground 0 or more.
func HoursFor(ground, perHour units.Area) (float64, error) {
	if perHour <= 0 {
		return 0, refuse("ground done in an hour", perHour, "more than 0")
	}
	if ground < 0 {
		return 0, refuse("area", ground, "0 or more")
	}
	return ground.SquareMetres() / perHour.SquareMetres(), nil
}

// ExplainPace writes the sum of PerHour.
func ExplainPace(speed units.Speed, width units.Length, efficiency units.Share, system units.System) ([]string, error) {
	done, err := PerHour(speed, width, efficiency)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	if p.metric() {
		p.line("pace = %s × %s × %s ÷ 10 = %s ha/h", speed.Format(system), p.length(width.Metres()), partOf(efficiency),
			figure(done.Hectares(), 4))
	} else {
		p.line("pace = %s × %s × %s ÷ 8.25 = %s ac/h", speed.Format(system), p.length(width.Metres()), partOf(efficiency),
			figure(done.Acres(), 4))
	}
	return p.lines, nil
}
