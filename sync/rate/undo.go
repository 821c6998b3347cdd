package rate

import (
	"math"

	"turnrow/sync/units"
)

// likelySlips are the factors that slips of the finger make: how one comes
// about that makes too much, and one that makes too little.
var likelySlips = []struct {
	by                 float64
	tooMuch, tooLittle string
}{
	{10, "a point left out", "a point too many"},
	{100, "a point left out", "a point too many"},
	{gramsPerPound / 16, "grams, not ounces", "ounces, not grams"},
	{gramsPerPound, "grams, not pounds", "pounds, not grams"},
	{1000, "grams, not kilograms", "kilograms, not grams"},
	{2, "if it was twice the turns, or the rows", "if it was half the turns, or the rows"},
}

// slipNear is how near, as a factor, a slip must bring a figure to what was
// expected to be named: what a bad chart may be off.
const slipNear = 1.6

// UndoSlip is the factor that undoes the slip of the finger which explains best
// why a rate is not what was expected, and how that slip comes about; not ok
// where none does.
func UndoSlip(r, expected units.RatePerArea) (by float64, how string, ok bool) {
	off, ratio := slipNear, Ratio(r, expected)
	for _, sl := range likelySlips {
		if far := math.Max(ratio/sl.by, sl.by/ratio); far < off {
			off, by, how, ok = far, 1/sl.by, sl.tooMuch, true
		}
		if far := math.Max(ratio*sl.by, 1/(ratio*sl.by)); far < off {
			off, by, how, ok = far, sl.by, sl.tooLittle, true
		}
	}
	return by, how, ok
}
