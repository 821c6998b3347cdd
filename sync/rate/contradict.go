package rate

import "math"

// contradictionLevel is how sure a contradiction must be before it counts: one
// calibration in a hundred is called contradictory by chance.
const contradictionLevel = 0.99

// departure is how far measurements lie from what was fitted to them.
type departure struct {
	squares float64 // sum of squares, each in standard uncertainties
	count   int     // independent departures in it
	freedom float64 // degrees of freedom of the uncertainties
}

// departures returns how far ratios lie from their own weighted mean.
func departures(ratios []Estimate) departure {
	d := departure{count: len(ratios) - 1, freedom: Known}
	if d.count < 1 {
		return d
	}
	own := weightedRatios(ratios, nil)
	d.freedom = own.Freedom
	for _, r := range ratios {
		u := (r.Value - own.Value) / (r.Std * own.Value)
		d.squares += float64(u * u)
	}
	return d
}

// beyondChance says whether the departures are greater than the uncertainties
// explain: a chi-square test, its limit widened by the square of Student's t
// over the normal value where uncertainties come from few repeats.
func (d departure) beyondChance() bool {
	if d.count < 1 {
		return false
	}
	limit := chiSquare(contradictionLevel, d.count)
	if d.squares <= limit {
		return false
	}
	wider := twoSidedT(contradictionLevel, d.freedom) / twoSidedT(contradictionLevel, Known)
	return d.squares > limit*wider*wider
}

// birge returns the factor by which the uncertainties must grow to explain the
// departures.
func (d departure) birge() float64 {
	return math.Max(1, math.Sqrt(d.squares/float64(d.count)))
}

// contradicted puts a straight line in the place of shape and scale where one
// that rises can be had; otherwise it widens the uncertainties until the
// measurements agree.
func (f *Fit) contradicted(ratios []Estimate, d departure) {
	l, err := f.weightedLine()
	if err != nil || !(l.slope > 0) {
		f.widenScale(ratios, d)
		return
	}
	f.line, f.basis, f.freedom = &l, FromLine, d.freedom
	left := departure{squares: l.squares, count: int(l.freedom), freedom: d.freedom}
	if left.beyondChance() {
		f.widenLine(left)
	}
}

// widenScale widens the measurements' uncertainties and fits the scale anew.
func (f *Fit) widenScale(ratios []Estimate, d departure) {
	f.agree = false
	wide := make([]Estimate, len(ratios))
	for i, r := range ratios {
		wide[i] = r
		wide[i].Std = float64(r.Std * d.birge())
		wide[i].Freedom = math.Min(r.Freedom, float64(d.count))
	}
	f.scale = f.fitScale(wide)
}

// widenLine widens the uncertainty of the line by what its points leave.
func (f *Fit) widenLine(left departure) {
	f.agree = false
	square := float64(left.birge() * left.birge())
	l := f.line
	l.varIntercept, l.covariance, l.varSlope = float64(l.varIntercept*square), float64(l.covariance*square), float64(l.varSlope*square)
	f.freedom = math.Min(f.freedom, float64(left.count))
}

// weightedLine fits a straight line of rate (µg/m²) on dial (marks) to the
// measurements. Their uncertainties are fractions of what the line says, found
// in a few passes.
func (f *Fit) weightedLine() (line, error) {
	n := len(f.measured)
	x, y, w := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, m := range f.measured {
		x[i], y[i] = m.Dial.Float(), float64(m.Rate)
	}
	fitted := append([]float64(nil), y...)
	var l line
	for range passes {
		for i, m := range f.measured {
			std := float64(m.Relative * fitted[i])
			w[i] = 1 / (std * std)
		}
		var err error
		if l, err = fitLine(x, y, w); err != nil {
			return line{}, err
		}
		for i := range fitted {
			if height := l.at(x[i]); height > 0 {
				fitted[i] = height
			}
		}
	}
	return l, nil
}
