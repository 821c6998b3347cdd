package rate

import (
	"math"

	"turnrow/sync/units"
)

// ChartPoint is one line of the chart under a box's lid: the rate that it
// promises for a seed at a dial.
type ChartPoint struct {
	Dial units.Dial
	Rate units.RatePerArea
}

// bisections halve a dial's whole range (a million marks at most) below the
// spacing of float64 values, so that the search ends at the same digits
// everywhere.
const bisections = 80

// curve is a curve through points that rise, or fall: a cubic between two
// neighbours, straight lines beyond the ends.
type curve struct {
	x, y, slope []float64
	below       float64 // slope of the straight line below the first point
	above       float64 // the same above the last
}

// chartCurve checks that a chart's points rise, or on a dial on which more is
// less fall, and puts a curve through them. Below the first point a rising
// curve goes straight to nothing at dial 0, where a meter is shut; elsewhere a
// curve goes on beyond its ends as straight as its end sections. One point
// alone, or none, makes a straight line from where the meter is shut (with
// none, one unit of rate to the mark): dial 0, or the start of a range that
// runs down. Rates are in µg/m², dials in marks.
func chartCurve(points []ChartPoint, from, to units.Dial) (curve, error) {
	if err := checkChart(points); err != nil {
		return curve{}, err
	}
	shut, mark := 0.0, 1.0
	if to < from {
		shut, mark = from.Float(), -1
	}
	if len(points) == 0 {
		return straight(shut, mark), nil
	}
	x, y := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		x[i], y[i] = p.Dial.Float(), float64(p.Rate)
	}
	if len(points) == 1 {
		if x[0] == shut {
			return curve{}, refuse("dial of the chart's only point", points[0].Dial, "where the meter is not shut")
		}
		return straight(shut, y[0]/(x[0]-shut)), nil
	}
	return newCurve(x, y), nil
}

// straight returns the line with a slope through nothing at dial shut.
func straight(shut, slope float64) curve {
	return curve{x: []float64{shut}, y: []float64{0}, below: slope, above: slope}
}

// falls says whether a chart is of a dial on which more is less.
func falls(points []ChartPoint) bool {
	return len(points) > 1 && points[1].Rate < points[0].Rate
}

// checkChart refuses points that neither rise nor fall throughout, naming the
// first that is wrong.
func checkChart(points []ChartPoint) error {
	shut, down := 0, falls(points) // where alone a rate may be nothing
	if down {
		shut = len(points) - 1
	}
	for i, p := range points {
		switch {
		case p.Dial < 0:
			return refuse("chart dial", p.Dial, "0 or more")
		case p.Rate < 0:
			return refuse("chart rate", p.Rate, "0 or more")
		case p.Rate == 0 && (i != shut || len(points) == 1):
			return refuse("chart rate at dial "+p.Dial.String(), p.Rate, "more than 0")
		case i > 0 && p.Dial <= points[i-1].Dial:
			return refuse("chart dial", p.Dial, "more than the point before, %v", points[i-1].Dial)
		case i > 0 && !down && p.Rate <= points[i-1].Rate:
			return refuse("chart rate at dial "+p.Dial.String(), p.Rate,
				"more than the point before, %v", points[i-1].Rate)
		case i > 0 && down && p.Rate >= points[i-1].Rate:
			return refuse("chart rate at dial "+p.Dial.String(), p.Rate,
				"less than the point before, %v, as the chart began", points[i-1].Rate)
		}
	}
	return nil
}

// newCurve puts the monotone cubic of Fritsch and Butland, "A method for
// constructing local monotone piecewise cubic interpolants", SIAM J. Sci.
// Statist. Comput. 5 (1984), through two or more points with rising x.
func newCurve(x, y []float64) curve {
	n := len(x)
	h, secant := make([]float64, n-1), make([]float64, n-1)
	for i := range h {
		h[i] = x[i+1] - x[i]
		secant[i] = (y[i+1] - y[i]) / h[i]
	}
	slope := make([]float64, n)
	for i := 1; i < n-1; i++ {
		slope[i] = innerSlope(h[i-1], h[i], secant[i-1], secant[i])
	}
	slope[0], slope[n-1] = secant[0], secant[n-2]
	if n > 2 {
		slope[0] = endSlope(h[0], h[1], secant[0], secant[1])
		slope[n-1] = endSlope(h[n-2], h[n-3], secant[n-2], secant[n-3])
	}
	c := curve{x: x, y: y, slope: slope, below: secant[0], above: secant[n-2]}
	if x[0] > 0 && secant[0] > 0 {
		c.below = y[0] / x[0]
	}
	return c
}

// innerSlope is the weighted harmonic mean of two neighbouring secants, or
// level where they do not rise or fall together.
func innerSlope(h0, h1, s0, s1 float64) float64 {
	if !(s0*s1 > 0) {
		return 0
	}
	w0, w1 := h0+float64(2*h1), float64(2*h0)+h1
	return 3 * (h0 + h1) / (w0/s0 + w1/s1)
}

// endSlope is the three-point formula at an end, whose own section is h0 and
// s0, held to what keeps the curve monotone.
func endSlope(h0, h1, s0, s1 float64) float64 {
	slope := s0 + float64(h0*(s0-s1))/(h0+h1)
	switch {
	case !(slope*s0 > 0):
		return 0
	case s0*s1 <= 0 && math.Abs(slope) > 3*math.Abs(s0):
		return 3 * s0
	}
	return slope
}

// at returns the curve's height at x.
func (c curve) at(x float64) float64 {
	last := len(c.x) - 1
	switch {
	case x < c.x[0]:
		return c.y[0] + float64(c.below*(x-c.x[0]))
	case x >= c.x[last]:
		return c.y[last] + float64(c.above*(x-c.x[last]))
	}
	i := 0
	for x >= c.x[i+1] {
		i++
	}
	return c.section(i, x)
}

// section is the cubic Hermite polynomial between points i and i+1.
func (c curve) section(i int, x float64) float64 {
	h := c.x[i+1] - c.x[i]
	t := (x - c.x[i]) / h
	rise := c.y[i+1] - c.y[i]
	m0, m1 := float64(h*c.slope[i]), float64(h*c.slope[i+1])
	// y0 + t(m0 + t((3 rise − 2 m0 − m1) + t(m0 + m1 − 2 rise)))
	cubic := (m0 - rise) + (m1 - rise)
	square := (rise - m0) - cubic
	return c.y[i] + float64(t*(m0+float64(t*(square+float64(t*cubic)))))
}

// bisect returns the x between low and high where a rising function reaches
// target: the end that is nearest where it does not.
func bisect(low, high, target float64, rising func(float64) float64) float64 {
	for range bisections {
		middle := low + float64((high-low)/2)
		if rising(middle) < target {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}
