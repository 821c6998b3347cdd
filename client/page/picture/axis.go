package picture

import (
	"math"
	"strconv"
	"time"
)

// fitted is the axis with ticks, reaching from the first to the last of them
// where those lie beyond what must be shown. About want ticks are made.
func (a Axis) fitted(want int) Axis {
	if a.High < a.Low || math.IsNaN(a.Low) || math.IsNaN(a.High) {
		a.Low, a.High = 0, 1
	}
	if len(a.Ticks) == 0 {
		if a.High == a.Low {
			a.High = a.Low + 1
		}
		step := roundStep((a.High - a.Low) / float64(want))
		first, last := math.Floor(a.Low/step+1e-9), math.Ceil(a.High/step-1e-9)
		for n := first; n <= last; n++ {
			a.Ticks = append(a.Ticks, n*step)
		}
		a.Low, a.High = first*step, last*step
	}
	if a.Write == nil {
		a.Write = func(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
	}
	return a
}

// roundStep is the round number (1, 2 or 5 times a power of ten) at or above a
// step.
func roundStep(step float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(step)))
	for _, n := range []float64{1, 2, 5} {
		if step <= n*power*(1+1e-9) {
			return n * power
		}
	}
	return 10 * power
}

// timeSteps are the steps in which time is marked.
var timeSteps = []time.Duration{
	time.Minute, 5 * time.Minute, 15 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour, 6 * time.Hour, 12 * time.Hour,
	24 * time.Hour, 2 * 24 * time.Hour, 7 * 24 * time.Hour, 14 * 24 * time.Hour, 30 * 24 * time.Hour, 90 * 24 * time.Hour,
}

// TimeAxis is an axis of times, given as seconds since 1970, as they are in a
// zone.
func TimeAxis(name string, low, high float64, zone *time.Location) Axis {
	const want = 4
	if high-low < 60 {
		high = low + 60
	}
	step := timeSteps[len(timeSteps)-1]
	for _, s := range timeSteps {
		if (high-low)/s.Seconds() <= want {
			step = s
			break
		}
	}
	_, offset := time.Unix(int64(low), 0).In(zone).Zone()
	a := Axis{Name: name, Low: low, High: high}
	first := math.Ceil((low+float64(offset))/step.Seconds())*step.Seconds() - float64(offset)
	for v := first; v <= high; v += step.Seconds() {
		a.Ticks = append(a.Ticks, v)
	}
	layout := "15:04"
	if step >= 24*time.Hour {
		layout = "2 Jan"
	}
	a.Write = func(v float64) string { return time.Unix(int64(v), 0).In(zone).Format(layout) }
	return a
}
