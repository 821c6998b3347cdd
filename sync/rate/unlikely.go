package rate

import (
	"errors"
	"math"
	"slices"
)

// UnlikelyCatch holds a new catch against what its box's chart and the catches
// made before say, and tells whether a person should be asked about it: where
// it lies beyond twice or half of what they say and beyond two spreads of it, or
// where it lies further from the other catches than one honest catch in a
// hundred would. The slip says what was expected, the factor that would explain
// the difference, and what the catch would show instead.
//
// Catches made the other way (standing against moving) stand in where none was
// made the same way. A catch of nothing is a true catch of a plugged meter and
// not unlikely; nor is anything where neither chart nor catch says what to
// expect. Errors are FitBox's.
func UnlikelyCatch(box Box, earlier []Measured, now Measured) (Slip, bool, error) {
	shape, err := chartCurve(box.Chart, box.From, box.To)
	if err != nil {
		return Slip{}, false, err
	}
	if err := box.check(shape, []Measured{now}); err != nil {
		return Slip{}, false, err
	}
	if now.Rate == 0 {
		return Slip{Plugged: true}, false, nil
	}
	before, field := sameWay(earlier, now.Way()), 0.0
	if len(before) == 0 && len(earlier) > 0 {
		before, field = sameWay(earlier, Moving-now.Way()), fieldSpread*fieldSpread
	}
	f, err := FitBox(box, before)
	if err != nil && !errors.Is(err, ErrNothingKnown) {
		return Slip{}, false, err
	}
	f.box, f.shape = box, shape
	own, err := now.readings(-1, f.x(now.Dial.Float()))
	if err != nil {
		return Slip{}, false, err
	}
	own = slices.DeleteFunc(own, func(r reading) bool { return r.rate == 0 })
	sortReadings(own)
	if field == 0 {
		if slip, ok := f.amongOthers(own, now.lot); ok {
			return slip, true, nil
		}
	}
	slip, ok := f.farOff(own, field)
	return slip, ok, nil
}

func sameWay(list []Measured, way Way) (same []Measured) {
	for _, m := range list {
		if m.Way() == way {
			same = append(same, m)
		}
	}
	return same
}

// farOff says whether readings at one dial lie beyond twice or half of what is
// known of it, and beyond two spreads.
func (f Fit) farOff(own []reading, field float64) (Slip, bool) {
	if f.basis == "" {
		return Slip{}, false
	}
	p := poolReadings(own)
	expected, s := f.line.at(own[0].x)
	spread := s.Var + field + p.own(f.line.repeats).Var
	off := math.Abs(p.log - expected)
	if off <= ln(farFromChart) || float64(off*off) <= 4*spread {
		return Slip{}, false
	}
	return slipOf(p.rate, exp(expected)), true
}

// amongOthers judges each new reading against the other readings of its lot,
// and tells of the one that is furthest beyond chance. The chance of a false
// question is shared out among all of them.
func (f Fit) amongOthers(own []reading, lot string) (Slip, bool) {
	others := slices.Clone(own)
	for _, s := range f.settings {
		if s.lot == lot {
			others = append(others, s.readings...)
		}
	}
	sortReadings(others)
	level := 1 - askLevel/float64(len(others))
	worst, slip := 1.0, Slip{}
	for _, r := range own {
		rest := withoutThese(others, []reading{r})
		if len(rest) == 0 {
			break
		}
		z, df := f.rule().off(r, rest)
		if far := math.Abs(z) / twoSidedT(level, df); far > worst {
			worst, slip = far, slipOf(r.rate, f.rule().expected(r, rest))
		}
	}
	return slip, worst > 1
}
