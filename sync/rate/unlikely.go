package rate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"turnrow/sync/units"
)

// askBeyond is how many times off what chart and catches say a catch is asked
// about, either way: charts were found up to 50 % off (Mississippi State
// University Extension, P3112), so that twice lies beyond a chart that is merely
// bad. A catch of half the turns written is off by two, give or take what catches
// and charts differ by; a little less than two leaves noise less of a say.
const askBeyond = 1.9

// Unlikely is a catch, or one mass of it, that a person should be asked about.
type Unlikely struct {
	Slip
	Repeat int               // which of the masses given, from 0; WholeCatch for all of them
	Rate   units.RatePerArea // that it shows
	Others bool              // the other catches say so; false: what chart and catches together say
}

// Far says whether it lies so far off that it is no measure of other catches.
func (u Unlikely) Far() bool { return u.Times > askBeyond || u.Times < 1/askBeyond }

// WholeCatch stands for all masses of a catch.
const WholeCatch = -1

// UnlikelyCatch holds a new catch against what its box's chart and the catches
// made before say, and tells whether a person should be asked about it: where
// it lies beyond askBeyond times what they say either way and beyond two spreads
// of it, or where it lies further from the other catches than one honest catch in
// a hundred would. It tells what was expected, the factor that would explain the
// difference, and what the catch would show instead.
//
// Catches made the other way (standing against moving) stand in where none was
// made the same way. A catch of nothing is a true catch of a plugged meter and
// not unlikely; nor is anything where neither chart nor catch says what to
// expect. Errors are FitBox's.
func UnlikelyCatch(box Box, earlier []Measured, now Measured) (Unlikely, bool, error) {
	shape, err := chartCurve(box.Chart, box.From, box.To)
	if err != nil {
		return Unlikely{}, false, err
	}
	if err := box.check(shape, []Measured{now}); err != nil {
		return Unlikely{}, false, err
	}
	if now.Rate == 0 {
		return Unlikely{Slip: Slip{Plugged: true}, Repeat: WholeCatch}, false, nil
	}
	before, field := sameWay(earlier, now.Way()), 0.0
	if len(before) == 0 && len(earlier) > 0 {
		before, field = sameWay(earlier, Moving-now.Way()), fieldSpread*fieldSpread
	}
	f, err := FitBox(box, before)
	if err != nil && !errors.Is(err, ErrNothingKnown) {
		return Unlikely{}, false, err
	}
	f.box, f.shape = box, shape
	own, err := now.readings(-1, f.x(now.Dial.Float()))
	if err != nil {
		return Unlikely{}, false, err
	}
	own = slices.DeleteFunc(own, func(r reading) bool { return r.rate == 0 })
	sortReadings(own)
	if field == 0 {
		if u, ok := f.amongOthers(own, now.lot); ok {
			return u, true, nil
		}
	}
	u, ok := f.farOff(own, field)
	return u, ok, nil
}

// FarFromUsual says whether a rate lies so far from the least and the greatest
// that are published for a species that a person should be asked about it: over
// twice the greatest, or under a quarter of the least. Seeders on poor beds go
// half as much again over what is advised and more, and in a mixture of many a
// species has a small part. Nothing is far from usual where nothing is published.
func FarFromUsual(r, least, greatest units.RatePerArea) bool {
	return r > 0 && greatest > 0 && (Over(r, greatest, overUsual) || !Over(r, least, underUsual))
}

// UnusualCatch is FarFromUsual for what a catch shows where no chart and no other
// catch says what to expect, with the slip that brings it among the usual rates.
func UnusualCatch(r, least, greatest units.RatePerArea) (Slip, bool) {
	if !FarFromUsual(r, least, greatest) {
		return Slip{}, false
	}
	expected := greatest
	if r < least {
		expected = least
	}
	s := Slip{Expected: expected, Times: Ratio(r, expected), Factor: 1}
	for _, f := range slipFactors {
		factor, words := f.factor, f.tooMuch
		if r < least {
			factor, words = 1/f.factor, f.tooLittle
		}
		if to := Scaled(r, 1/factor); s.Factor == 1 && to >= least && to <= greatest {
			s.Factor, s.Likely, s.Instead = factor, words, to
		}
	}
	return s, true
}

const (
	overUsual  = 2.0
	underUsual = 0.25
)

func sameWay(list []Measured, way Way) (same []Measured) {
	for _, m := range list {
		if m.Way() == way {
			same = append(same, m)
		}
	}
	return same
}

// farOff says whether readings at one dial lie beyond askBeyond times what is
// known of it, and beyond two spreads.
func (f Fit) farOff(own []reading, field float64) (Unlikely, bool) {
	if f.basis == "" {
		return Unlikely{}, false
	}
	p := poolReadings(own)
	expected, s := f.at(own[0].dial.Float())
	spread := s.Var + field + p.own(f.line.repeats).Var
	off := math.Abs(p.log - expected)
	if off <= ln(askBeyond) || float64(off*off) <= 4*spread {
		return Unlikely{}, false
	}
	return unlikely(slipOf(p.rate, exp(expected)), p.rate, WholeCatch, f.Catches() > 0), true
}

func unlikely(s Slip, rate float64, repeat int, others bool) Unlikely {
	u := Unlikely{Slip: s, Repeat: repeat, Others: others}
	u.Rate, _ = units.RateFromGramsPerSquareMetre(rate)
	return u
}

// amongOthers judges each new reading against the other readings of its lot,
// and tells of the one that is furthest beyond chance. The chance of a false
// question is shared out among all of them.
func (f Fit) amongOthers(own []reading, lot string) (Unlikely, bool) {
	others := slices.Clone(own)
	for _, s := range f.settings {
		if s.lot == lot {
			others = append(others, s.readings...)
		}
	}
	sortReadings(others)
	level := 1 - askLevel/float64(len(others))
	worst, found := 1.0, Unlikely{}
	for _, r := range own {
		rest := withoutThese(others, []reading{r})
		if len(rest) == 0 {
			break
		}
		z, df := f.rule().off(r, rest)
		if far := math.Abs(z) / twoSidedT(level, df); far > worst {
			worst, found = far, unlikely(slipOf(r.rate, f.rule().expected(r, rest)), r.rate, r.repeat, true)
		}
	}
	if len(own) == 1 {
		found.Repeat = WholeCatch
	}
	return found, worst > 1
}

// FarDial is a dial that stands where a box gives far more or less than anybody
// wants.
type FarDial struct {
	Gives    units.RatePerArea // about
	OffChart bool              // no aim says so, but the chart ends long before
	Instead  []units.Dial      // what may have been meant, by a point left out or too many
}

// A dial is asked about where what it gives is more than twice, or less than half,
// of what is aimed at, as a catch is: by that much nobody misses on purpose. Where
// no aim says what is wanted, half as much again as the last line of a chart, and
// half of its first, are as far as a chart leads.
const (
	farFromAim = 2
	overChart  = 1.5
	underChart = 2
)

// UnlikelyDial tells whether a person should be asked about a dial, for the rates
// that are aimed at, each above 0; with none, by the chart alone. Where the box is
// shut, or neither chart nor catch leads, there is nothing to ask.
func (f Fit) UnlikelyDial(d units.Dial, aims []units.RatePerArea) (FarDial, bool) {
	r, err := f.RateAt(d)
	if err != nil {
		return FarDial{}, false
	}
	far := FarDial{Gives: r.Rate}
	if len(aims) > 0 {
		if near(r.Rate, aims, farFromAim) {
			return FarDial{}, false
		}
		far.Instead = f.meantDials(d, aims)
		return far, true
	}
	low, high := f.span()
	x := f.x(d.Float())
	far.OffChart = true
	return far, len(f.box.Chart) > 0 && (x > high+ln(overChart) || x < low-ln(underChart))
}

// meantDials are the dials that a point in the wrong place makes of one, at which
// the box gives what is aimed at, as near as a bad chart says.
func (f Fit) meantDials(d units.Dial, aims []units.RatePerArea) (list []units.Dial) {
	for _, by := range []float64{0.1, 10} {
		to := Scaled(d, by)
		r, err := f.RateAt(to)
		if err == nil && near(r.Rate, aims, slipNear) {
			list = append(list, to)
		}
	}
	return list
}

// near says whether a rate is no more than so many times the greatest aim, and
// the least aim no more than so many times the rate.
func near(r units.RatePerArea, aims []units.RatePerArea, times float64) bool {
	return !Over(r, slices.Max(aims), times) && !Over(slices.Min(aims), r, times)
}

// Undone is a quantity without a slip that it likely has.
func Undone[T ~int64](q T, s Slip) T { return Scaled(q, 1/s.Factor) }

// Beside writes how a rate lies beside what was expected: "17 times", "26 % over",
// "10 % of".
func (s Slip) Beside() string { return Beside(s.Times) }

// Beside is the same of a rate that is so many times another.
func Beside(times float64) string {
	switch {
	case times >= 9.95:
		return fmt.Sprintf("%.0f times", times)
	case times >= 2:
		return fmt.Sprintf("%.1f times", times)
	case times > 1:
		return fmt.Sprintf("%.0f %% over", 100*(times-1))
	case times > 0.5:
		return fmt.Sprintf("%.0f %% under", 100*(1-times))
	}
	return fmt.Sprintf("%.2g %% of", 100*times)
}

// Nearer says whether one rate lies nearer to another than a second one does, as
// a ratio; all are above 0.
func Nearer(one, second, to units.RatePerArea) bool {
	return timesApart(one, to) < timesApart(second, to)
}

func timesApart(a, b units.RatePerArea) float64 { return math.Max(Ratio(a, b), Ratio(b, a)) }
