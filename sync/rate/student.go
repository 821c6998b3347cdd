package rate

import "math"

// Known is the number of degrees of freedom of an uncertainty that is taken as
// known rather than estimated from a few repeats: with so many, Student's
// distribution is the normal one.
const Known = 1e9

// largeFreedom is where the finite sums give way to expansions in 1/df, which
// are right to eleven digits from there on.
const largeFreedom = 300

// newtonSteps bounds every search by Newton's method. The starting points lie
// below the root of a concave function, so each step goes up towards it; the
// slowest (one degree of freedom, far tail) takes about twenty.
const newtonSteps = 64

// studentT returns the t that Student's distribution with df degrees of
// freedom stays below with probability p: studentT(0.975, df) for the central
// 95 %. p lies between 0 and 1, df is 1 or more; otherwise it returns NaN.
// Between whole df it goes in a straight line in 1/df, which is never too
// narrow (the GUM, JCGM 100:2008, G.4.1, allows that or rounding df down).
func studentT(p, df float64) float64 {
	switch {
	case !(p > 0 && p < 1) || !(df >= 1):
		return math.NaN()
	case p < 0.5:
		return -studentT(1-p, df)
	case df > largeFreedom:
		return studentFromNormal(normalQuantile(p), df)
	}
	whole := math.Floor(df)
	low := studentWhole(p, int(whole))
	if whole == df {
		return low
	}
	return low - float64(fraction(df)*(low-studentWhole(p, int(whole)+1)))
}

// twoSidedT returns the t that bounds the central level (0.9 for 90 %).
func twoSidedT(level, df float64) float64 { return studentT((1+level)/2, df) }

// studentWithin returns the probability that Student's t with df degrees of
// freedom lies within ±t.
func studentWithin(t, df float64) float64 {
	t = math.Abs(t)
	if !(df >= 1) || math.IsNaN(t) {
		return math.NaN()
	}
	if df > largeFreedom {
		return normalWithin(normalFromStudent(t, df))
	}
	whole := math.Floor(df)
	low, _ := studentCentral(t, int(whole))
	if whole == df {
		return low
	}
	high, _ := studentCentral(t, int(whole)+1)
	return low + float64(fraction(df)*(high-low))
}

// fraction places df between its whole neighbours on the scale of 1/df: 0 at
// the lower, 1 at the upper.
func fraction(df float64) float64 {
	whole := math.Floor(df)
	return (1/whole - 1/df) / (1/whole - 1/(whole+1))
}

// studentWhole is studentT for p of a half or more and a whole df.
func studentWhole(p float64, df int) float64 {
	target := float64(2*p) - 1
	t := normalQuantile(p)
	for range newtonSteps {
		within, slope := studentCentral(t, df)
		step := (target - within) / slope
		t += step
		if !(math.Abs(step) > 1e-15*t) {
			break
		}
	}
	return t
}

// studentCentral returns the probability that t with df degrees of freedom
// lies within ±t, and the derivative of that probability, by the finite sums
// of Abramowitz and Stegun 26.7.3 and 26.7.4.
func studentCentral(t float64, df int) (within, slope float64) {
	n := float64(df)
	square := n / (n + float64(t*t)) // cos² of the angle atan(t/√n)
	cos := math.Sqrt(square)
	sine := t / math.Sqrt(n+float64(t*t))
	if df == 1 {
		return float64(2 / math.Pi * atan(t)), 2 / math.Pi * square
	}
	odd := df % 2
	term, sum := 1.0, 1.0
	for j := 1; 2*j <= df-2-odd; j++ {
		top := float64(2*j - 1 + odd)
		term = float64(term * square * top / (top + 1))
		sum += term
	}
	if odd == 0 {
		return float64(sine * sum), (n - 1) * term * square * cos / math.Sqrt(n)
	}
	angle := atan(t / math.Sqrt(n))
	return float64(2 / math.Pi * (angle + float64(sine*cos*sum))),
		2 / math.Pi * (n - 1) * term * square * square / math.Sqrt(n)
}
