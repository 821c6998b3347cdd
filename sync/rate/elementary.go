package rate

import "math"

// The functions here stand in for math.Exp, math.Atan and math.Sin, whose last
// digits differ from processor to processor. They use + − × ÷ and square roots
// only, each product that is added rounded on its own, so that every device
// prints the same digits. Series: Abramowitz and Stegun, Handbook of
// Mathematical Functions (1964), 4.2.1, 4.3.65 and 4.4.42.

// ln2High and ln2Low add up to the natural logarithm of 2; the first has few
// enough bits that a whole multiple of it is exact.
const (
	ln2High = 6.93147180369123816490e-01
	ln2Low  = 1.90821492927058770002e-10
)

// expTerms and angleTerms are enough for the reduced arguments: the first term
// left out is below half a unit in the last place.
const (
	expTerms   = 16
	angleTerms = 20
)

// exp returns e to the power x, for |x| up to 700.
func exp(x float64) float64 {
	n := math.Floor(x/math.Ln2 + 0.5)
	r := x - float64(n*ln2High) - float64(n*ln2Low)
	sum := 1.0
	for k := expTerms; k >= 1; k-- {
		sum = 1 + float64(r*sum)/float64(k)
	}
	return math.Ldexp(sum, int(n))
}

// atan returns the angle in radians whose tangent is x. The half-angle formula
// brings x near zero, where the series needs few terms.
func atan(x float64) float64 {
	scale := 1.0
	for math.Abs(x) > 0.1 {
		x /= 1 + math.Sqrt(1+float64(x*x))
		scale *= 2
	}
	square := x * x
	sum := 0.0
	for k := angleTerms; k >= 0; k-- {
		sum = 1/float64(2*k+1) - float64(square*sum)
	}
	return float64(scale * x * sum)
}

// sin returns the sine of x radians, for |x| up to π/2.
func sin(x float64) float64 {
	square := x * x
	sum := 1.0
	for k := angleTerms; k >= 1; k-- {
		sum = 1 - float64(square*sum)/float64(2*k*(2*k+1))
	}
	return float64(x * sum)
}
