package rate

import (
	"math"
	"strconv"

	"turnrow/sync/units"
)

// FramesWithin is how close, as a fraction either way, FramesNeeded makes a
// stand's mean known.
const FramesWithin = 0.20

// standLevel is the level of a stand's interval.
const standLevel = 0.95

// greatestDensity is the greatest density that is ever returned, in thousandths
// to the square metre: a billion plants to the square metre.
const greatestDensity = 1e12

// Stand is what frames counted on a piece of ground say of its plants.
type Stand struct {
	Mean, Low, High units.Density // mean and 95 % interval; never below zero
	Frames          int           // frames counted
	// FramesNeeded is how many such frames make the mean known within
	// FramesWithin at the same level: 0 where that cannot be told, because no
	// plant was found or only one frame was counted.
	FramesNeeded int
	// Scattered says that the interval takes the plants as scattered by chance
	// (a Poisson count), since the frames themselves show no spread.
	Scattered bool
}

// StandOf works out plants to the area from counts in frames of one size, each
// a single throw. The interval is the mean ± t × s/√n (NIST/SEMATECH e-Handbook
// 1.3.5.2) and the frames needed n = (t s / (0.2 mean))². Where frames show no
// spread (one frame, or all alike) it takes the plants as scattered by chance
// and uses Byar's approximation to the Poisson limits (Breslow and Day,
// Statistical Methods in Cancer Research II, IARC 1987, p. 69). It fails with a
// *RangeError for no frames, a frame without area, or a negative count.
func StandOf(frame units.Area, counts []int64) (Stand, error) {
	if frame <= 0 {
		return Stand{}, refuse("frame area", frame, "more than 0")
	}
	if len(counts) == 0 {
		return Stand{}, refuse("number of frames", 0, "1 or more")
	}
	values := make([]float64, len(counts))
	for i, c := range counts {
		if c < 0 {
			return Stand{}, refuse("count of frame "+strconv.Itoa(i+1), c, "0 or more")
		}
		values[i] = float64(c)
	}
	n := float64(len(values))
	average := mean(values)
	s := Stand{Frames: len(values)}
	low, high := byar(average*n, n)
	if spread := sd(values); spread > 0 {
		low, high = meanEstimate(values).Interval(standLevel)
		t := twoSidedT(standLevel, n-1)
		root := t * spread / (FramesWithin * average)
		s.FramesNeeded = int(math.Ceil(math.Min(root*root, math.MaxInt32)))
	} else {
		s.Scattered = true
	}
	return s.densities(frame, average, math.Max(0, low), high)
}

// densities turns plants to the frame into plants to the area.
func (s Stand) densities(frame units.Area, average, low, high float64) (Stand, error) {
	factor := 1000 / frame.SquareMetres()
	if !(high*factor <= greatestDensity) {
		return Stand{}, refuse("plants to the square metre", high*factor/1000, "no more than %g", greatestDensity/1000)
	}
	density := func(plants float64) units.Density { return units.Density(math.Round(plants * factor)) }
	s.Mean, s.Low, s.High = density(average), density(low), density(high)
	return s, nil
}

// byar returns the 95 % limits of the mean of n Poisson counts that add up to
// total.
func byar(total, n float64) (low, high float64) {
	z := twoSidedT(standLevel, Known)
	if total > 0 {
		root := 1 - 1/(9*total) - z/(3*math.Sqrt(total))
		low = total * root * root * root
	}
	above := total + 1
	root := 1 - 1/(9*above) + z/(3*math.Sqrt(above))
	return low / n, above * root * root * root / n
}

// FrameOfRow returns the area that a length of row stands for at a row spacing.
// It fails with a *RangeError for a length that is not above zero, and with
// units.ErrOverflow.
func FrameOfRow(length, spacing units.Length) (units.Area, error) {
	if length <= 0 {
		return 0, refuse("length of row", length, "more than 0")
	}
	if spacing <= 0 {
		return 0, refuse("row spacing", spacing, "more than 0")
	}
	const squareMicrometresToCm2 = 100_000_000
	v, err := units.MulDiv(int64(length), int64(spacing), squareMicrometresToCm2)
	return units.Area(v), err
}
