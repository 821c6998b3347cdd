package trial

import (
	"math"
	"math/rand/v2"
)

// Draw is a source of chance: the same seed and cell draw the same worlds.
type Draw struct{ r *rand.Rand }

// NewDraw is the source of one cell of a table.
func NewDraw(seed, cell uint64) Draw { return Draw{rand.New(rand.NewPCG(seed, cell))} }

// Flat is anywhere from low to high alike.
func (d Draw) Flat(low, high float64) float64 { return low + (high-low)*d.r.Float64() }

// Whole is a whole number from low to high, both included, alike.
func (d Draw) Whole(low, high int) int { return low + d.r.IntN(high-low+1) }

// Chance is true so often.
func (d Draw) Chance(share float64) bool { return d.r.Float64() < share }

// Normal is drawn by Box and Muller, "A note on the generation of random
// normal deviates", Annals of Mathematical Statistics 29 (1958).
func (d Draw) Normal(mean, sd float64) float64 {
	u, v := 1-d.r.Float64(), d.r.Float64()
	return mean + sd*math.Sqrt(-2*math.Log(u))*math.Cos(2*math.Pi*v)
}

// atOnce is the greatest mean whose Poisson count is drawn in one go: exp of
// its negative is still far from the smallest float64.
const atOnce = 30

// Poisson is a count with a mean, by Knuth's product of uniform draws (The Art
// of Computer Programming 2, 3.4.1); a great mean is drawn in parts.
func (d Draw) Poisson(mean float64) int64 {
	n := int64(0)
	for ; mean > atOnce; mean -= atOnce {
		n += d.Poisson(atOnce)
	}
	for p, limit := d.r.Float64(), math.Exp(-mean); p > limit; p *= d.r.Float64() {
		n++
	}
	return n
}

// Gamma is drawn by Marsaglia and Tsang, "A simple method for generating gamma
// variables", ACM Transactions on Mathematical Software 26 (2000). The shape is
// 1 or more; the mean is shape × scale.
func (d Draw) Gamma(shape, scale float64) float64 {
	a := shape - 1.0/3
	c := 1 / math.Sqrt(9*a)
	for {
		x := d.Normal(0, 1)
		v := math.Pow(1+c*x, 3)
		if v > 0 && math.Log(1-d.r.Float64()) < x*x/2+a-a*v+a*math.Log(v) {
			return a * v * scale
		}
	}
}

// Clumped is a count from the negative binomial law: Poisson about a mean that
// is itself gamma, with variance mean + mean²/k. A small k (1 or more) clumps.
func (d Draw) Clumped(mean, k float64) int64 { return d.Poisson(d.Gamma(k, mean/k)) }
