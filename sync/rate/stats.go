package rate

import (
	"math"

	"turnrow/sync/units"
)

// mean returns the arithmetic mean of values, NaN for none. The second pass
// takes out what rounding left in the first.
func mean(values []float64) float64 {
	n := float64(len(values))
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	first := sum / n
	rest := 0.0
	for _, v := range values {
		rest += v - first
	}
	return first + rest/n
}

// sd returns the sample standard deviation (divisor n − 1) of values, NaN for
// fewer than two. Corrected two-pass algorithm: Chan, Golub and LeVeque, The
// American Statistician 37 (1983).
func sd(values []float64) float64 {
	if len(values) < 2 {
		return math.NaN()
	}
	n := float64(len(values))
	m := mean(values)
	squares, rest := 0.0, 0.0
	for _, v := range values {
		squares += float64((v - m) * (v - m))
		rest += v - m
	}
	return math.Sqrt((squares - float64(rest*rest)/n) / (n - 1))
}

// rounded returns a mass in mg to the nearest whole one.
func rounded(milligrams float64) units.Mass { return units.Mass(math.Round(milligrams)) }
