package rate

import "math"

// The functions here stand in for math.Exp, math.Log, math.Lgamma and math.Sin,
// whose last digits differ from processor to processor. They use + − × ÷ and square roots
// only, each product that is added rounded on its own, so that every device
// prints the same digits. Series: Abramowitz and Stegun, Handbook of
// Mathematical Functions (1964), 4.2.1 and 4.3.65.

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

// lnTerms are enough for |s| below 0.18, of which the series goes in squares.
const lnTerms = 12

// ln returns the natural logarithm of x above 0, by the series of the inverse
// hyperbolic tangent (Abramowitz and Stegun 4.1.27) on a number brought between
// √½ and √2. It returns NaN for x of 0 or less.
func ln(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 1) {
		return math.NaN()
	}
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, e = float64(2*m), e-1
	}
	s := (m - 1) / (m + 1)
	square := float64(s * s)
	sum := 0.0
	for k := lnTerms; k >= 0; k-- {
		sum = 1/float64(2*k+1) + float64(square*sum)
	}
	return float64(float64(e)*ln2High) + (float64(float64(e)*ln2Low) + float64(2*s*sum))
}

// stirlingFrom is where the series below is right to the last digit.
const stirlingFrom = 15

// lnGamma returns the natural logarithm of the gamma function of x above 0, by
// Stirling's series (Abramowitz and Stegun 6.1.41) on an argument brought up by
// the recurrence 6.1.15.
func lnGamma(x float64) float64 {
	product := 1.0
	for x < stirlingFrom {
		product *= x
		x++
	}
	series := polynomial(1/(x*x), 1.0/12, -1.0/360, 1.0/1260, -1.0/1680, 1.0/1188, -691.0/360360) / x
	const halfLn2Pi = 0.918938533204672741780329736406
	return float64((x-0.5)*ln(x)) - x + halfLn2Pi + series - ln(product)
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
