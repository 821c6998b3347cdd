package rate

import "math"

// normalFar is where the normal distribution's tail drops below what a float64
// near one can tell apart.
const normalFar = 8.3

// normalDensity returns the standard normal density at x.
func normalDensity(x float64) float64 {
	return exp(-float64(x*x)/2) / math.Sqrt(2*math.Pi)
}

// normalWithin returns the probability that a standard normal value lies
// within ±x, by the series of Marsaglia, "Evaluating the normal distribution",
// Journal of Statistical Software 11(4), 2004.
func normalWithin(x float64) float64 {
	x = math.Abs(x)
	if x > normalFar {
		return 1
	}
	term, sum := x, x
	for k := 3; term > 1e-17*sum; k += 2 {
		term = float64(term*x*x) / float64(k)
		sum += term
	}
	return float64(2 * sum * normalDensity(x))
}

// normalQuantile returns the value that a standard normal stays below with
// probability p, by Newton's method from the middle of the distribution, where
// its distribution function is concave. It returns NaN outside 0 < p < 1.
func normalQuantile(p float64) float64 {
	switch {
	case !(p > 0 && p < 1):
		return math.NaN()
	case p < 0.5:
		return -normalQuantile(1 - p)
	}
	target := float64(2*p) - 1
	x := 0.0
	for range newtonSteps {
		step := (target - normalWithin(x)) / (2 * normalDensity(x))
		x += step
		if !(math.Abs(step) > 1e-15*x) {
			break
		}
	}
	return x
}

// studentFromNormal turns a normal quantile z into Student's with df degrees
// of freedom by the expansion of Abramowitz and Stegun 26.7.5.
func studentFromNormal(z, df float64) float64 {
	s := z * z
	terms := []float64{
		polynomial(s, 1, 1) / 4,
		polynomial(s, 3, 16, 5) / 96,
		polynomial(s, -15, 17, 19, 3) / 384,
		polynomial(s, -945, -1920, 1482, 776, 79) / 92160,
	}
	return float64(z * (1 + polynomial(1/df, terms...)/df))
}

// normalFromStudent turns Student's t with many degrees of freedom into the
// normal value that is as far out, by Abramowitz and Stegun 26.7.8.
func normalFromStudent(t, df float64) float64 {
	return t * (1 - 1/(4*df)) / math.Sqrt(1+float64(t*t)/(2*df))
}

// polynomial evaluates coefficients, constant first, at x by Horner's rule.
func polynomial(x float64, coefficients ...float64) float64 {
	sum := 0.0
	for k := len(coefficients) - 1; k >= 0; k-- {
		sum = coefficients[k] + float64(x*sum)
	}
	return sum
}
