package rate

import (
	"slices"
	"testing"

	"turnrow/sync/units"
)

// lines holds what a sum on paper says against what it should.
func lines(t *testing.T, got []string, err error, want ...string) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(got, want) {
		t.Errorf("got:")
		for _, l := range got {
			t.Errorf("\t%q,", l)
		}
	}
}

func TestDialOnPaper(t *testing.T) {
	chart := []ChartPoint{{20_000, lbPerAcre(18)}, {40_000, lbPerAcre(41)}, {60_000, lbPerAcre(66)}}
	f := fitted(t, Box{To: 100_000, Chart: chart}, caught(40_000, lbPerAcre(44), 0.02))
	got, err := f.ExplainDial(lbPerAcre(50), units.US)
	lines(t, got, err,
		"caught at dial 40: 44 lb/ac ± 2 % ÷ chart 41 lb/ac = 1.073",
		"scale = these together with the chart's own 1 ± 25 %, each by 1 ÷ its doubt squared = 1.073 ± 2 %",
		"the shape is taken from one dial, so the further from there the wider: ± 10 % for each 2.7 times the rate",
		"dial where that gives 50 lb/ac = 44.636",
		"at dial 44.636 the box gives 50 lb/ac, nine times in ten between 48 and 52 lb/ac",
		"nine times in ten the target lies between dial 43.28 and 46.316",
		"go: the rate is known within 5 %",
	)
	bare := fitted(t, Box{To: 100_000}, caught(40_000, lbPerAcre(44), 0.02))
	got, err = bare.ExplainDial(lbPerAcre(50), units.US)
	lines(t, got, err,
		"caught at dial 40: 44 lb/ac ± 2 %; for each mark 1.1 lb/ac",
		"no chart: in proportion through the catches = dial × 1.1 lb/ac ± 2 %",
		"the shape is taken from one dial, so the further from there the wider: ± 30 % for each 2.7 times the rate",
		"dial where that gives 50 lb/ac = 45.455",
		"at dial 45.455 the box gives 50 lb/ac, nine times in ten between 46.5 and 53.7 lb/ac",
		"nine times in ten the target lies between dial 43.22 and 51.905",
		"catch at another dial: dial 45.5 lies beyond the chart and the catches: catch there",
	)
	crossed := fitted(t, Box{To: 100_000, Chart: chart}, caught(20_000, lbPerAcre(40), 0.02), caught(60_000, lbPerAcre(50), 0.02))
	got, err = crossed.ExplainDial(lbPerAcre(300), units.Metric)
	lines(t, got, err,
		"set aside: 44.8 kg/ha, 2.93 times what the others make it (only half of the turns or rows written? then 22.4 kg/ha)",
		"caught at dial 60: 56.04 kg/ha ± 2 % ÷ chart 73.98 kg/ha = 0.7576",
		"scale = these together with the chart's own 1 ± 25 %, each by 1 ÷ its doubt squared = 0.7589 ± 2 %",
		"the shape is taken from one dial, so the further from there the wider: ± 10 % for each 2.7 times the rate",
		"the dial goes from 0 to 100, which does not reach 336.3 kg/ha",
		"at dial 100 the box gives 98.67 kg/ha, nine times in ten between 89.4 and 109 kg/ha",
		"out of reach: the dial ends before the target; this is the nearest rate it gives",
	)
}

func TestFieldSumsOnPaper(t *testing.T) {
	got, err := ExplainStand(want(units.ParseArea("1 ft2")), []int64{10, 14, 11, 13}, units.US)
	lines(t, got, err,
		"mean count (frames: 4) = 12 plants to the frame",
		"stand = 12 ÷ frame 1 ft2 = 12 /ft2",
		"spread between frames s = 1.826; clumping c = ((frames − 1) × (s² − mean) ÷ mean² + 2 × 0.3) ÷ (frames + 1), not below 0 = 0.0839",
		"plants that count in full: 1 ÷ (1 ÷ 48 + c ÷ frames, wider for few frames) = 17.57; exact limits of a count of so many",
		"frames for ±20 % = (1.96 ÷ 0.2)² × (1 ÷ mean + c) = 17",
		"95 times in 100 between 7.061 /ft2 and 19.07 /ft2",
	)
	got, err = ExplainStand(10_000, []int64{9}, units.Metric)
	lines(t, got, err,
		"mean count (frames: 1) = 9 plants to the frame",
		"stand = 9 ÷ frame 1 m2 = 9 /m2",
		"one frame cannot show clumps: exact limits of a count of plants scattered by chance",
		"frames for ±20 % = (1.96 ÷ 0.2)² × (1 ÷ mean + c) = 40",
		"95 times in 100 between 4.115 /m2 and 17.09 /m2",
	)
	got, err = ExplainEvenness([]units.Mass{4000, 5000, 6000, 1000}, units.Metric)
	lines(t, got, err,
		"mean of 4 rows = 4 g",
		"standard deviation = 2.16 g; coefficient of variation = deviation ÷ mean = 54 %",
		"row 1: 4 g, 0 % off the mean",
		"row 2: 5 g, 25 % off the mean",
		"row 3: 6 g, 50 % off the mean",
		"row 4: 1 g, -75 % off the mean",
		"row 4 is below half of the mean: likely blocked",
	)
	got, err = Stretch{Poured: Weighed{Mass: pounds(50)}, Left: Weighed{Mass: pounds(8)}, Drained: Weighed{Mass: pounds(2)},
		Area: acre() * 2}.Explain(units.US)
	lines(t, got, err,
		"went out = start 0 oz + poured 50 lb − drained 2 lb − left 8 lb = 40 lb",
		"rate by the counter = 40 lb ÷ 2 ac = 20 lb/ac",
		"nine times in ten between 19.66 lb/ac and 20.34 lb/ac, if the counter is right",
	)
}
