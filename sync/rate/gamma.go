package rate

import "math"

// gammaSteps bounds the series and the search below. The series takes about
// as many terms as the larger of shape and x, for counts up to thousands.
const gammaSteps = 100_000

// gammaBelow returns the probability that a gamma-distributed value of a shape
// above 0 and scale 1 stays below x: the regularised incomplete gamma function
// P(shape, x), by its series (Abramowitz and Stegun 6.5.29).
func gammaBelow(x, shape float64) float64 {
	if !(x > 0) {
		return 0
	}
	log := float64(shape*ln(x)) - x - lnGamma(shape+1)
	if x > shape && log < -lnSmallest {
		return 1 // so far up the tail that the rest is nothing
	}
	term, sum := 1.0, 1.0
	for k := 1; k < gammaSteps && term > 1e-17*sum; k++ {
		term = float64(term * x / (shape + float64(k)))
		sum += term
	}
	return math.Min(1, exp(log)*sum)
}

// lnSmallest is where e to the power of its negative is next to nothing.
const lnSmallest = 700

// gammaQuantile returns the x that a gamma-distributed value of a shape above 0
// and scale 1 stays below with probability p, from 0 to 1 without the ends. By
// halving, so that it ends at the same digits everywhere. The exact limits of a
// Poisson count rest on it (Garwood, Biometrika 28, 1936).
func gammaQuantile(p, shape float64) float64 {
	if !(p > 0 && p < 1) || !(shape > 0) {
		return math.NaN()
	}
	high := 1.0
	for gammaBelow(high, shape) < p {
		high *= 2
	}
	return bisect(0, high, p, func(x float64) float64 { return gammaBelow(x, shape) })
}
