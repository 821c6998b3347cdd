package rate

import (
	"errors"
	"math"
)

// ErrNoLine is returned for points that no straight line can be put through:
// too few, or all at one place.
var ErrNoLine = errors.New("a straight line needs points at two different places")

// line is a straight line y = intercept + slope × x fitted by least squares,
// with the covariance of its two coefficients for weights that are the
// inverse variances of y (unit weights: multiply by the residual variance).
type line struct {
	intercept, slope                   float64
	varIntercept, covariance, varSlope float64
	squares                            float64 // weighted sum of squared residuals
	total                              float64 // the same about the weighted mean of y
	freedom                            float64 // points − coefficients
}

// fitLine fits a line through points, each counting by its weight (nil: all
// alike). The sums are taken about the weighted means, so that large values
// close together lose no digits. Draper and Smith, Applied Regression Analysis.
func fitLine(x, y, weights []float64) (line, error) {
	w := weigher(weights)
	var sum, xm, ym float64
	for i := range x {
		sum += w(i)
		xm += float64(w(i) * x[i])
		ym += float64(w(i) * y[i])
	}
	xm, ym = xm/sum, ym/sum
	xm, ym = xm+centre(x, w, xm)/sum, ym+centre(y, w, ym)/sum
	var sxx, sxy, syy float64
	for i := range x {
		dx, dy := x[i]-xm, y[i]-ym
		sxx += float64(float64(w(i)*dx) * dx)
		sxy += float64(float64(w(i)*dx) * dy)
		syy += float64(float64(w(i)*dy) * dy)
	}
	if len(x) < 2 || !(sxx > 0) {
		return line{}, ErrNoLine
	}
	l := line{slope: sxy / sxx, total: syy, freedom: float64(len(x) - 2)}
	l.intercept = ym - float64(l.slope*xm)
	l.varSlope = 1 / sxx
	l.covariance = -xm / sxx
	l.varIntercept = 1/sum + float64(xm*xm)/sxx
	for i := range x {
		r := (y[i] - ym) - float64(l.slope*(x[i]-xm))
		l.squares += float64(float64(w(i)*r) * r)
	}
	return l, nil
}

// throughOrigin fits y = slope × x, each point counting by its weight (nil:
// all alike). total is the weighted sum of squares about zero.
func throughOrigin(x, y, weights []float64) (line, error) {
	w := weigher(weights)
	var sxx, sxy, syy float64
	for i := range x {
		sxx += float64(float64(w(i)*x[i]) * x[i])
		sxy += float64(float64(w(i)*x[i]) * y[i])
		syy += float64(float64(w(i)*y[i]) * y[i])
	}
	if !(sxx > 0) {
		return line{}, ErrNoLine
	}
	l := line{slope: sxy / sxx, varSlope: 1 / sxx, total: syy, freedom: float64(len(x) - 1)}
	for i := range x {
		r := y[i] - float64(l.slope*x[i])
		l.squares += float64(float64(w(i)*r) * r)
	}
	return l, nil
}

// at returns the line's height at x.
func (l line) at(x float64) float64 { return l.intercept + float64(l.slope*x) }

// varianceAt returns the variance of the line's height at x.
func (l line) varianceAt(x float64) float64 {
	return l.varIntercept + float64(2*x*l.covariance) + float64(float64(x*x)*l.varSlope)
}

// residualSD returns the standard deviation of the points about the line.
func (l line) residualSD() float64 { return math.Sqrt(l.squares / l.freedom) }

// rSquared returns the share of the sum of squares that the line explains.
func (l line) rSquared() float64 { return 1 - l.squares/l.total }

func weigher(weights []float64) func(int) float64 {
	if weights == nil {
		return func(int) float64 { return 1 }
	}
	return func(i int) float64 { return weights[i] }
}

// centre returns the weighted sum of what values differ from a first mean.
func centre(values []float64, w func(int) float64, mean float64) float64 {
	sum := 0.0
	for i, v := range values {
		sum += float64(w(i) * (v - mean))
	}
	return sum
}
