package rate

import "math"

// passes is how often a mean is taken again with weights from the last result;
// each pass changes it by the square of a small difference.
const passes = 4

// fewRepeats is the number of degrees of freedom below which uncertainties are
// pooled before they become weights: by chance, one of three catches of three
// repeats looks several times too good, and would count for all.
const fewRepeats = 10

// weightedRatios returns the weighted mean of ratios whose Std is a fraction
// of the true ratio, together with a prior (may be nil) whose Std is absolute.
// Weighting by a fraction of the mean, not of each ratio, keeps low ratios from
// counting for more than high ones.
func weightedRatios(ratios []Estimate, prior *Estimate) Estimate {
	trusted := pooled(ratios)
	all := append([]Estimate(nil), ratios...)
	stds := append([]float64(nil), trusted...)
	if prior != nil {
		all, stds = append(all, *prior), append(stds, prior.Std)
	}
	size := 1.0
	for range passes {
		for i, r := range ratios {
			all[i].Std, stds[i] = float64(r.Std*size), float64(trusted[i]*size)
		}
		size = weightedMean(all, stds).Value
	}
	return weightedMean(all, stds)
}

// weightedMean returns the mean of estimates of one figure, each weighted by
// the inverse square of its std among stds. The doubt of the mean is
// propagated from the estimates' own (the GUM, 5.1.2 and G.4.1), which holds
// for any weights.
func weightedMean(estimates []Estimate, stds []float64) Estimate {
	weights, sum := 0.0, 0.0
	for i, e := range estimates {
		w := 1 / (stds[i] * stds[i])
		weights += w
		sum += float64(w * e.Value)
	}
	parts := make([]part, len(estimates))
	for i, e := range estimates {
		parts[i] = part{e.Std / (stds[i] * stds[i]) / weights, e.Freedom}
	}
	std, freedom := combine(parts...)
	return Estimate{Value: sum / weights, Std: std, Freedom: freedom}
}

// pooled returns the standard uncertainty that each estimate is weighted by.
// One from few repeats is weighted by the root mean square of all, each
// counting by its degrees of freedom up to fewRepeats.
func pooled(estimates []Estimate) []float64 {
	freedom, squares := 0.0, 0.0
	for _, e := range estimates {
		f := math.Min(e.Freedom, fewRepeats)
		freedom += f
		squares += float64(f * e.Std * e.Std)
	}
	common := math.Sqrt(squares / freedom)
	stds := make([]float64, len(estimates))
	for i, e := range estimates {
		stds[i] = e.Std
		if e.Freedom < fewRepeats {
			stds[i] = common
		}
	}
	return stds
}
