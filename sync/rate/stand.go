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
	// Exact are the same three to the square metre, before they were rounded to
	// thousandths of a plant: a lower limit of 0.0253 to the square foot would
	// print as 0.0254.
	Exact struct{ Mean, Low, High float64 }
	// FramesNeeded is how many such frames make the mean known within
	// FramesWithin at the same level: 0 where no plant was found, for then it
	// cannot be told.
	FramesNeeded int
	// Clumping is the variance between frames beyond that of plants scattered
	// by chance, as a share of the mean squared: 0 where chance is all. One
	// frame cannot show it: then it is the guess, and the interval holds for
	// scattered plants alone.
	Clumping float64

	plants float64 // that count in full: all of them, less what clumping takes
}

// StandOf works out plants to the area from counts in frames of one size, each
// a single throw. One frame has the exact limits of a Poisson count (Garwood,
// Biometrika 28, 1936). With several, clumping is estimated by moments (Bliss
// and Fisher, Biometrics 9, 1953) together with a guess that counts as two
// frames; it makes the plants count for fewer, and those have the exact limits.
// Frames needed = (1.96 ÷ 0.2)² × (1 ÷ mean + clumping). It fails with a
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
	average := mean(values)
	s := Stand{Frames: len(values), Clumping: clumping(values)}
	s.plants = s.counting(average)
	if average > 0 {
		z := normalQuantile((1 + standLevel) / 2)
		frames := float64((z / FramesWithin) * (z / FramesWithin) * (1/average + s.Clumping))
		s.FramesNeeded = int(math.Ceil(math.Min(frames, math.MaxInt32)))
	}
	low, high := s.limits(average)
	return s.densities(frame, average, low, high)
}

// clumping is the variance beyond chance as a share of the mean squared, the
// frames' own and the guess weighed together; never below 0.
func clumping(values []float64) float64 {
	n, m := float64(len(values)), mean(values)
	own := 0.0
	if n > 1 && m > 0 {
		spread := sd(values)
		own = (n - 1) * (float64(spread*spread) - m) / float64(m*m)
	} else {
		n = 1
	}
	return math.Max(0, (clumpWeight*clumpSpread+own)/(clumpWeight+n-1))
}

// counting is how many scattered plants would leave the mean as uncertain as
// the clumped ones do: 1 ÷ that = 1 ÷ all + clumping ÷ frames, the latter wider
// as t is than 1.96 for so few frames. One frame shows no clumps: all count.
func (s Stand) counting(average float64) float64 {
	n := float64(s.Frames)
	all := float64(average * n)
	if s.Frames == 1 || all == 0 {
		return all
	}
	wider := twoSidedT(standLevel, clumpWeight+n-1) / normalQuantile((1+standLevel)/2)
	return 1 / (1/all + float64(s.Clumping/n*wider*wider))
}

// limits returns the limits of the mean to the frame.
func (s Stand) limits(average float64) (low, high float64) {
	tail := (1 - standLevel) / 2
	each := 1 / float64(s.Frames)
	if s.plants > 0 {
		each = average / s.plants
		low = float64(each * gammaLimit(tail, s.plants))
	}
	return low, float64(each * gammaLimit(1-tail, s.plants+1))
}

// manyPlants is where a count's limits give way to Wilson and Hilferty's cube
// root (PNAS 17, 1931), which is right to six digits from there on.
const manyPlants = 10_000

// gammaLimit is gammaQuantile for any number of plants.
func gammaLimit(p, plants float64) float64 {
	if plants <= manyPlants {
		return gammaQuantile(p, plants)
	}
	root := 1 - 1/(9*plants) + normalQuantile(p)/(3*math.Sqrt(plants))
	return float64(plants * root * root * root)
}

// densities turns plants to the frame into plants to the area.
func (s Stand) densities(frame units.Area, average, low, high float64) (Stand, error) {
	factor := 1000 / frame.SquareMetres()
	if !(high*factor <= greatestDensity) {
		return Stand{}, refuse("plants to the square metre", high*factor/1000, "no more than %g", greatestDensity/1000)
	}
	metre := frame.SquareMetres()
	s.Exact.Mean, s.Exact.Low, s.Exact.High = average/metre, low/metre, high/metre
	density := func(plants float64) units.Density { return units.Density(math.Round(plants * factor)) }
	s.Mean, s.Low, s.High = density(average), density(low), density(high)
	return s, nil
}

// Per returns mean and limits to the square foot, or to the square metre in metric
// units, to five figures: a frame's area is kept to the square centimetre.
func (s Stand) Per(system units.System) (mean, low, high float64) {
	to := squareMetresPerSquareFoot
	if system == units.Metric {
		to = 1
	}
	return fiveFigures(s.Exact.Mean * to), fiveFigures(s.Exact.Low * to), fiveFigures(s.Exact.High * to)
}

func fiveFigures(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return x
	}
	step := 1.0
	for math.Abs(x)*step < 1e4 {
		step *= 10
	}
	return math.Round(x*step) / step
}

// Words writes mean and limits with their unit, as "1 /ft2, 95 % interval 0.0253 to
// 5.57".
func (s Stand) Words(system units.System) string {
	unit := " /ft2"
	if system == units.Metric {
		unit = " /m2"
	}
	mean, low, high := s.Per(system)
	return figure(mean, 3) + unit + ", 95 % interval " + figure(low, 3) + " to " + figure(high, 3)
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
