package rate

import "math"

// Known is the number of degrees of freedom of an uncertainty that is taken as
// known rather than estimated from a few repeats: with so many, Student's
// distribution is the normal one.
const Known = 1e9

// largeFreedom is where the continued fraction gives way to expansions in 1/df,
// which are right to eleven digits from there on.
const largeFreedom = 300

// newtonSteps bounds every search by Newton's method. The starting points lie
// below the root of a concave function, so each step goes up towards it; the
// slowest (one degree of freedom, far tail) takes about twenty.
const newtonSteps = 64

// studentT returns the t that Student's distribution with df degrees of
// freedom, whole or not, stays below with probability p: studentT(0.975, df)
// for the central 95 %. p lies between 0 and 1, df is 1 or more; otherwise it
// returns NaN.
func studentT(p, df float64) float64 {
	switch {
	case !(p > 0 && p < 1) || !(df >= 1):
		return math.NaN()
	case p < 0.5:
		return -studentT(1-p, df)
	case df > largeFreedom:
		return studentFromNormal(normalQuantile(p), df)
	}
	target := float64(2*p) - 1
	t := normalQuantile(p)
	for range newtonSteps {
		step := (target - studentCentral(t, df)) / studentSlope(t, df)
		t += step
		if !(math.Abs(step) > 1e-15*t) {
			break
		}
	}
	return t
}

// twoSidedT returns the t that bounds the central level (0.9 for 90 %).
func twoSidedT(level, df float64) float64 { return studentT((1+level)/2, df) }

// studentWithin returns the probability that Student's t with df degrees of
// freedom lies within ±t.
func studentWithin(t, df float64) float64 {
	t = math.Abs(t)
	switch {
	case !(df >= 1) || math.IsNaN(t):
		return math.NaN()
	case df > largeFreedom:
		return normalWithin(normalFromStudent(t, df))
	case t > math.MaxFloat32:
		return 1
	}
	return studentCentral(t, df)
}

// studentCentral is studentWithin for t of 0 or more by the incomplete beta
// function (Abramowitz and Stegun 26.7.1), from whichever end keeps the digits.
func studentCentral(t, df float64) float64 {
	square := float64(t * t)
	inner := square / (df + square)
	if inner < 1.5/(float64(df/2)+2.5) {
		return betaFraction(inner, 0.5, df/2)
	}
	return 1 - betaFraction(df/(df+square), df/2, 0.5)
}

// studentSlope is the derivative of studentCentral: twice Student's density.
func studentSlope(t, df float64) float64 {
	half := float64(df / 2)
	log := lnGamma(half+0.5) - lnGamma(half) - float64((half+0.5)*ln(1+float64(t*t)/df))
	return 2 * exp(log) / math.Sqrt(df*math.Pi)
}

// fractionSteps bounds a continued fraction; a few dozen steps are taken.
const fractionSteps = 500

// betaFraction is the incomplete beta function I_x(a, b) by its continued
// fraction (Abramowitz and Stegun 26.5.8), for x below (a+1)/(a+b+2), worked
// out from the front as Lentz did (Applied Optics 15, 1976).
func betaFraction(x, a, b float64) float64 {
	if x <= 0 {
		return 0
	}
	term := func(m int) float64 {
		k := float64(m / 2)
		if m%2 == 0 {
			return k * (b - k) * x / ((a + float64(2*k) - 1) * (a + float64(2*k)))
		}
		return -(a + k) * (a + b + k) * x / ((a + float64(2*k)) * (a + float64(2*k) + 1))
	}
	c, d := 1.0, 1/(1+term(1))
	value := d
	for m := 2; m < fractionSteps; m++ {
		d = 1 / (1 + float64(term(m)*d))
		c = 1 + term(m)/c
		value *= c * d
		if math.Abs(float64(c*d)-1) < 1e-16 {
			break
		}
	}
	log := lnGamma(a+b) - lnGamma(a) - lnGamma(b) + float64(a*ln(x)) + float64(b*ln(1-x))
	return exp(log) * value / a
}
