package rate

import (
	"errors"

	"turnrow/sync/units"
)

// ChartDoubt is the standard uncertainty of a chart's scale, as a fraction. A
// chart is loose to ±25 %, read here as one standard deviation, since trials
// found real rates 10 % or more off (University of Kentucky, McNeill) and 25
// to 50 % off (Mississippi State University Extension, P3112).
const ChartDoubt = 0.25

// PlainCatchDoubt is a standard uncertainty, as a fraction, for a careful catch
// of which only the rate is known: our own assumption, no source.
const PlainCatchDoubt = 0.03

// OtherLotDoubt is what is added, in squares, to a measurement made with
// another lot of the same kind of seed: lots differ in size and shape and a
// meter works by volume (NDSU AE-1144). The size is our own assumption.
const OtherLotDoubt = 0.10

// ErrNothingKnown is returned for a box with neither chart nor measurement.
var ErrNothingKnown = errors.New("neither a chart nor a catch says what this box gives")

// Box is what is known of a seed box's meter before anything is weighed.
type Box struct {
	From, To units.Dial   // the dial's range
	Chart    []ChartPoint // for the seed in question, rising; may be empty
}

// Measured is one measurement of what a box gives at a dial: a catch, or the
// rate that really went out.
type Measured struct {
	Dial     units.Dial
	Rate     units.RatePerArea
	Relative float64 // standard uncertainty of Rate, as a fraction of it
	Freedom  float64 // degrees of freedom of Relative, or Known
}

// RateEstimate returns the measured rate with its own 90 % interval, without
// what else is known of the box. It fails with a *RangeError for a rate that
// is not above zero.
func (m Measured) RateEstimate() (RateEstimate, error) {
	value := float64(m.Rate)
	return rateOf(Estimate{Value: value, Std: float64(value * m.Relative), Freedom: m.Freedom})
}

// OfAnotherLot returns the measurement with the doubt of its being made with
// another lot of the same kind of seed.
func (m Measured) OfAnotherLot() Measured {
	m.Relative, m.Freedom = combine(part{m.Relative, m.Freedom}, part{OtherLotDoubt, Known})
	return m
}

// Basis says what a fit rests on.
type Basis string

// What a fit can rest on.
const (
	FromChart        Basis = "chart alone"
	FromChartScaled  Basis = "chart scaled by catches"
	FromProportional Basis = "in proportion through catches"
	FromLine         Basis = "line through catches"
)

// Fit is what a box gives at each dial, with its doubt.
type Fit struct {
	box      Box
	measured []Measured
	shape    curve
	scale    Estimate // of the shape
	line     *line    // takes over from shape and scale where it is set
	freedom  float64  // of the line
	basis    Basis
	agree    bool // measurements agree within their uncertainties
}

// FitBox fits a box's curve: the chart's shape times a scale from the
// measurements, each weighted by the inverse square of its uncertainty, the
// chart counting as one loose measurement (ChartDoubt). Where measurements at
// different dials contradict the shape beyond their uncertainties, the
// weighted straight line through them takes over; where they contradict one
// another, their uncertainties are widened by Birge's ratio (Phys. Rev. 40,
// 1932). Without a chart the rate is in proportion to the dial.
//
// It fails with a *RangeError for a chart that does not rise, a dial outside
// the box's range or a rate or uncertainty that is not above zero, and with
// ErrNothingKnown.
func FitBox(box Box, measured []Measured) (Fit, error) {
	shape, err := chartCurve(box.Chart)
	if err != nil {
		return Fit{}, err
	}
	if err := box.check(shape, measured); err != nil {
		return Fit{}, err
	}
	f := Fit{box: box, measured: measured, shape: shape, agree: true, basis: FromChart}
	ratios := f.ratios()
	f.scale = f.fitScale(ratios)
	switch {
	case len(measured) == 0:
		return f, nil
	case len(box.Chart) == 0:
		f.basis = FromProportional
	default:
		f.basis = FromChartScaled
	}
	if d := departures(ratios); d.beyondChance() {
		f.contradicted(ratios, d)
	}
	return f, nil
}

// check refuses what no fit can be made of.
func (b Box) check(shape curve, measured []Measured) error {
	if b.From < 0 {
		return refuse("start of the dial", b.From, "0 or more")
	}
	if b.To <= b.From {
		return refuse("end of the dial", b.To, "more than its start, %v", b.From)
	}
	for _, p := range b.Chart {
		if p.Dial < b.From || p.Dial > b.To {
			return refuse("chart dial", p.Dial, "from %v to %v", b.From, b.To)
		}
	}
	for _, m := range measured {
		if err := b.checkMeasured(shape, m); err != nil {
			return err
		}
	}
	if len(b.Chart)+len(measured) == 0 {
		return ErrNothingKnown
	}
	return nil
}

func (b Box) checkMeasured(shape curve, m Measured) error {
	switch {
	case m.Dial < b.From || m.Dial > b.To:
		return refuse("dial of a catch", m.Dial, "from %v to %v", b.From, b.To)
	case m.Rate <= 0:
		return refuse("caught rate", m.Rate, "more than 0")
	case !(m.Relative > 0) || m.Relative > 1:
		return refuse("relative uncertainty of a catch", m.Relative, "more than 0 and up to 1")
	case !(m.Freedom >= 1):
		return refuse("degrees of freedom of a catch", m.Freedom, "1 or more")
	case !(shape.at(m.Dial.Float()) > 0):
		return refuse("dial of a catch", m.Dial, "where the box gives seed")
	}
	return nil
}

// ratios returns each measurement's ratio to the shape. Std is a fraction.
func (f Fit) ratios() []Estimate {
	ratios := make([]Estimate, len(f.measured))
	for i, m := range f.measured {
		ratios[i] = Estimate{
			Value:   float64(m.Rate) / f.shape.at(m.Dial.Float()),
			Std:     m.Relative,
			Freedom: m.Freedom,
		}
	}
	return ratios
}

// fitScale returns the weighted mean of ratios and, where there is a chart, of
// the chart itself at 1 ± ChartDoubt.
func (f Fit) fitScale(ratios []Estimate) Estimate {
	if len(f.box.Chart) == 0 {
		return weightedRatios(ratios, nil)
	}
	return weightedRatios(ratios, &Estimate{Value: 1, Std: ChartDoubt, Freedom: Known})
}

// Basis says what the fit rests on.
func (f Fit) Basis() Basis { return f.basis }

// Agree says whether the measurements agree with one another, and with what
// the fit rests on, within their uncertainties (at the 99 % level).
func (f Fit) Agree() bool { return f.agree }

// Scale returns the factor between the chart and what the box really gives,
// with its doubt; without a chart, the rate in µg/m² for one mark of the dial.
// It means nothing where the basis is FromLine.
func (f Fit) Scale() Estimate { return f.scale }
