package trial

import "math"

// Crank is how a crew catches: so many turns, the first so many rows, on a
// scale of so many grams a step.
type Crank struct {
	Turns, Rows int
	Step        float64
}

// stopsWithin is how far off, in turns, a wheel stops: an eighth, common
// practice, no source.
const stopsWithin = 1.0 / 8

// fewestSteps is the least that a crew with sense turns for: so many steps of
// its scale.
const fewestSteps = 6

// Enough makes the turns so many that the catch weighs a few steps of the
// scale at the least.
func (c Crank) Enough(m Drill) Crank {
	for m.Rate*c.area(RollTold) < fewestSteps*c.Step {
		c.Turns += 10
	}
	return c
}

func (c Crank) area(roll float64) float64 {
	return float64(c.Turns) * roll * float64(c.Rows) * RowSpacing
}

// Catch is what the scale reads, in grams.
func (c Crank) Catch(d Draw, m Drill) float64 {
	turned := float64(c.Turns) + d.Flat(-stopsWithin, stopsWithin)
	rows := 0.0
	for _, r := range m.Rows[:c.Rows] {
		rows += r
	}
	grams := m.Rate * turned * m.Roll * RowSpacing * rows * d.Normal(1, m.Repeat)
	return c.read(grams)
}

func (c Crank) read(grams float64) float64 { return math.Round(grams/c.Step) * c.Step }

// Catches is what so many catches read.
func (c Crank) Catches(d Draw, m Drill, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = c.Catch(d, m)
	}
	return out
}

// Own is the variance of one catch alone, relative to the rate, for who knows
// the drill's noise: repeats, part turns and the scale's steps.
func (c Crank) Own(m Drill) float64 {
	grams := m.Rate * c.area(RollTold)
	return m.Repeat*m.Repeat + math.Pow(stopsWithin/float64(c.Turns), 2)/3 + math.Pow(c.Step/grams, 2)/12
}

// Shared is the variance that all catches of the same rows have in common: the
// rows stand for all of the drill's, and the roll.
func (c Crank) Shared(m Drill) float64 {
	k := float64(c.Rows)
	return m.RowCV*m.RowCV/k*(1-k/DrillRows) + Roll.SD*Roll.SD
}

// Variance is that of the mean of n catches, relative to the rate.
func (c Crank) Variance(m Drill, n int) float64 { return c.Own(m)/float64(n) + c.Shared(m) }

// Slip makes of one catch what a slip of a finger would: so many times as
// much. It gives its number.
func Slip(d Draw, grams []float64, times float64) int {
	i := d.Whole(0, len(grams)-1)
	grams[i] *= times
	return i
}
