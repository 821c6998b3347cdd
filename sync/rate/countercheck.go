package rate

import (
	"math"

	"turnrow/sync/units"
)

// How well areas are known that a counter is held against. An area walked or
// drawn on a map is good to a few percent: the root mean square error of walked
// stands was 0.22 to 4.67 % (Unger and others, Southern Journal of Applied
// Forestry, 2013). One that somebody stated may be a round figure. Both ours.
const (
	mappedSpread = 0.02
	statedSpread = 0.05
)

// counterStep is what a counter of acres shows at the finest: a tenth, at either
// end of a piece. Common practice.
const counterStep units.Area = 4_046_856 // cm²

// farOff is the level beyond which map and counter differ by more than the two
// ever do by themselves.
const farOff = 0.99

// CounterVerdict is how a counter stands against a finished piece of ground.
type CounterVerdict string

// What a verdict on a counter can be.
const (
	CounterAgrees  CounterVerdict = "agrees"    // nothing to correct; it was checked
	CounterOff     CounterVerdict = "off"       // to be corrected, if the map is right
	CounterFar     CounterVerdict = "far off"   // map, counter or the piece itself: look before correcting
	CounterUnclear CounterVerdict = "too small" // the piece is too small to tell
)

// CounterCheck is a drill's counter held against a piece of ground that is
// finished.
type CounterCheck struct {
	Verdict CounterVerdict
	// Correction is the piece's area over the counter's, in thousandths: what
	// the counter's areas are multiplied by if a person takes it so.
	Correction int64
	Low, High  int64 // 90 % interval of what the counter's correction really is
}

// CheckCounter holds the area that a counter showed for a piece of ground
// against the piece's own. mapped says that its boundary was walked or drawn,
// rather than its area stated. Nothing follows by itself: the map may be the
// one that is wrong, the piece not all sown, or turns sown twice; a person
// decides. It fails with a *RangeError for an area that is not above zero.
func CheckCounter(piece, counted units.Area, mapped bool) (CounterCheck, error) {
	switch {
	case piece <= 0 || piece > greatestArea:
		return CounterCheck{}, refuse("area of the piece", piece, "more than 0 and up to 10,000,000 ha")
	case counted <= 0 || counted > greatestArea:
		return CounterCheck{}, refuse("area by the counter", counted, "more than 0 and up to 10,000,000 ha")
	}
	own := known(statedSpread)
	if mapped {
		own = known(mappedSpread)
	}
	step := float64(counterStep) / float64(counted)
	read := Spread{float64(step*step) / 6, Known} // two readings, each within half a step
	off := ln(float64(piece) / float64(counted))
	s := sumOf(own, read)
	reach := math.Max(rateFloor, s.half(Confidence))
	if math.Abs(off)+reach > ln(mostCorrected) {
		return CounterCheck{Verdict: CounterFar}, nil
	}
	thousandths := func(x float64, way func(float64) float64) int64 { return int64(way(1000 * exp(x))) }
	c := CounterCheck{
		Correction: thousandths(off, math.Round), Low: thousandths(off-reach, math.Floor), High: thousandths(off+reach, math.Ceil),
	}
	c.Verdict = verdictOn(off, read, sumOf(s, known(counterSpread)))
	return c, nil
}

// mostCorrected is the most that a counter is ever corrected by, either way:
// beyond that it is a slip, or another unit.
const mostCorrected = 1.5

func verdictOn(off float64, read, all Spread) CounterVerdict {
	switch {
	case read.half(Confidence) > counterSpread:
		return CounterUnclear
	case math.Abs(off) > all.half(farOff):
		return CounterFar
	case math.Abs(off) <= rateFloor:
		return CounterAgrees
	}
	return CounterOff
}
