package trial_test

import (
	"fmt"
	"math"
	"testing"

	"turnrow/sync/simtest/trial"
)

// How a drill's own curve bends away from the chart's, as the power of the
// dial that stands between them: none was published, ours.
func bends(sd float64) trial.Law { return trial.Law{SD: sd} }

// chartOff is how many times its chart a drill gives: 10 % off (McNeill,
// University of Kentucky) to 50 % (Mississippi State University Extension,
// P3112).
var chartOff = trial.Law{Low: 0.5, High: 1.5}

const (
	chartEnds = 60 // the last mark of the chart
	caughtAt  = 40
)

// dialCell is what n catches at some dials state at others, under a chart that
// ends before the dial does.
func dialCell(n int, off, bend trial.Law, dials, asked []float64, key ...int) []trial.Tally {
	d := trial.NewDraw(*seed, cell(append([]int{2, n, len(dials)}, key...)...))
	out := make([]trial.Tally, len(asked))
	for range *worlds {
		chartRate, power, s := someRate(d), bend.Draw(d), off.Draw(d)
		chart := func(x float64) float64 { return chartRate * math.Pow(x/caughtAt, 1.2) }
		gives := func(x float64) float64 { return s * chart(x) * math.Pow(x/caughtAt, power) }
		m := plain.Draw(d, 1)
		var catches []at
		var o curveOracle
		for _, x := range dials {
			m.Rate = gives(x)
			c := cranks(d, m, trial.DrillRows, 1)
			catches = append(catches, at{x, c, c.Catches(d, m, n)})
			o.catch(x, c.Own(m)/float64(n), c.Shared(m))
		}
		for i, x := range asked {
			r, _ := fitted(chart, catches, x)
			out[i].State(r.low, r.high, gives(x), 2*trial.Reach90*gives(x)*sqrt(o.variance(x, bend)))
			out[i].Err(r.middle, gives(x))
		}
	}
	return out
}

// curveOracle knows the noise of each dial's catches and how curves bend, and
// nothing of the chart's scale.
type curveOracle struct{ weight, x, xx, shared float64 }

func (o *curveOracle) catch(dial, own, shared float64) {
	w, x := 1/own, math.Log(dial)
	o.weight, o.x, o.xx, o.shared = o.weight+w, o.x+w*x, o.xx+w*x*x, shared
}

// variance of the rate at a dial: the weighted mean's, and the slope's, of
// which the spread of bends is the prior.
func (o *curveOracle) variance(dial float64, bend trial.Law) float64 {
	centre := o.x / o.weight
	s := math.Max(0, o.xx-centre*o.x)
	slope := 0.0
	if v := bend.Variance(); v > 0 {
		slope = 1 / (s + 1/v)
	}
	return o.shared + 1/o.weight + math.Pow(math.Log(dial)-centre, 2)*slope
}

// Stated 90 % at the catch's dial, away from it, and beyond the chart.
func TestTablesDial(t *testing.T) {
	t.Parallel()
	asked := []float64{40, 45, 50, 30, 20, 70, 90}
	head := []string{"drill's curve", "caught", "catches"}
	for _, x := range asked {
		head = append(head, fmt.Sprintf("at %.0f", x))
	}
	table := trial.Table{Title: "Dial, stated 90 %, chart 0.5 to 1.5 times off and ending at 60 (16 rows): covers % × width over the oracle's", Head: head}
	for i, b := range []float64{0, 0.1, 0.2} {
		for _, dials := range [][]float64{{caughtAt}, {30, 50}} {
			for _, n := range times {
				row := []string{fmt.Sprintf("bends %.0f %%", 100*b), fmt.Sprint(dials), fmt.Sprint(n)}
				for j, y := range dialCell(n, chartOff, bends(b), dials, asked, i) {
					row = append(row, y.String())
					if b == 0.1 {
						gate(t, fmt.Sprintf("%d catches at %v, asked at %v", n, dials, asked[j]), stated90, y.Share())
					}
				}
				table.Add(row...)
			}
		}
	}
	t.Log("\n" + table.String())
}

// A chart that is far off does not pull a catch.
func TestTablesChartFarOff(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "Chart far off, at the catch's dial, stated 90 %: covers % × width over the oracle's; median error %",
		Head: []string{"drill gives × chart", "1 catch", "2", "3", "6"}}
	for i, s := range []float64{0.33, 0.5, 0.75, 1, 1.5, 2, 3} {
		row := []string{fmt.Sprint(s)}
		for _, n := range times {
			y := dialCell(n, trial.Exactly(s), bends(0.1), []float64{caughtAt}, []float64{caughtAt}, 10+i)[0]
			row = append(row, fmt.Sprintf("%v; %.1f", &y, 100*y.Off()))
			gate(t, fmt.Sprintf("%d catches, %v times the chart", n, s), stated90, y.Share())
		}
		table.Add(row...)
	}
	t.Log("\n" + table.String())
}
