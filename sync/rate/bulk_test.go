package rate

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

func TestBulkIsLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		live := units.RatePerArea(rapid.Int64Range(1000, 1e7).Draw(t, "live"))
		share := Live(rapid.Float64Range(0.05, 1).Draw(t, "share"))
		times := rapid.Int64Range(1, 40).Draw(t, "times")
		one, err := Bulk(live, share)
		if err != nil {
			t.Fatal(err)
		}
		many, err := Bulk(live*units.RatePerArea(times), share)
		if err != nil || math.Abs(float64(many)-float64(one)*float64(times)) > float64(times) {
			t.Fatalf("%d × %v gives %v, not %d × %v (%v)", times, live, many, times, one, err)
		}
		back, err := LivePart(one, share)
		if err != nil || math.Abs(float64(back-live)) > 1 {
			t.Fatalf("%v at %v is %v bulk, which holds %v, %v", live, share, one, back, err)
		}
	})
}

func TestSeedsAndRateAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bulk := units.RatePerArea(rapid.Int64Range(50_000, 1e8).Draw(t, "bulk"))
		share := Live(rapid.Float64Range(0.05, 1).Draw(t, "share"))
		size := SeedSize(rapid.Float64Range(1, 10_000).Draw(t, "seeds/g"))
		seeds, err := SeedsPerArea(bulk, share, size)
		if err != nil {
			t.Fatal(err)
		}
		back, err := RateForSeeds(seeds, share, size)
		slack := 1 + 0.0005/float64(size)/float64(share)*1e6 // half a step of each type
		if err != nil || math.Abs(float64(back-bulk)) > slack {
			t.Fatalf("%v gives %v seeds, which want %v, %v", bulk, seeds, back, err)
		}
	})
}

func TestSeedSizesAgree(t *testing.T) {
	// 205,720 seeds to the pound (tall fescue, USDA plant database) weigh
	// 453.59237 g, so a thousand weigh 2.2049 g.
	byCount := perPound(205_720)
	byMass := want(MillionSeedMass(want(units.ParseMass("2.20490 g", units.Times(1000)))))
	agree(t, "thousand-seed mass", float64(byMass), float64(byCount), 1e-5)
	bySample := want(SeedSample(want(units.ParseCount("9,071")), want(units.ParseMass("20 g"))))
	agree(t, "sample", float64(bySample), float64(byCount), 1e-4)
}

func TestBulkRefuses(t *testing.T) {
	rate, size := lbPerAcre(20), perPound(200_000)
	seeds := perFt2(30)
	for name, refused := range map[string]func() error{
		"no live rate":    func() error { _, err := Bulk(0, 1); return err },
		"negative":        func() error { _, err := Bulk(-5, 1); return err },
		"no live share":   func() error { _, err := Bulk(rate, 0); return err },
		"over the whole":  func() error { _, err := Bulk(rate, 1.01); return err },
		"not a number":    func() error { _, err := Bulk(rate, Live(math.NaN())); return err },
		"too great":       func() error { _, err := Bulk(9_000_000_000, 0.01); return err },
		"live from none":  func() error { _, err := LiveFrom(0); return err },
		"no bulk":         func() error { _, err := LivePart(0, 1); return err },
		"no seeds":        func() error { _, err := RateForSeeds(0, 1, size); return err },
		"seed size":       func() error { _, err := RateForSeeds(seeds, 1, SeedSize(math.NaN())); return err },
		"seed size zero":  func() error { _, err := SeedsPerPound(0); return err },
		"seed mass zero":  func() error { _, err := MillionSeedMass(0); return err },
		"sample zero":     func() error { _, err := SeedSample(1000, 0); return err },
		"seeds too many":  func() error { _, err := SeedsPerArea(9_000_000_000, 1, mostSeedsPerGram); return err },
		"explain nothing": func() error { _, err := ExplainBulk(0, 1, units.US); return err },
	} {
		if err := refused(); !errors.Is(err, units.ErrRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestBulkAndSeedsOnPaper(t *testing.T) {
	bulk, err := ExplainBulk(lbPerAcre(30), 0.882, units.US)
	if err != nil || bulk[0] != "bulk rate = live rate 30 lb/ac ÷ live share 88.2 % = 34.01 lb/ac" {
		t.Errorf("%q, %v", bulk, err)
	}
	us, err := ExplainSeeds(lbPerAcre(15), 1, perPound(220_000), units.US)
	if err != nil || us[0] != "seeds = 15 lb/ac × 220000 seeds/lb × live share 100 % ÷ 43,560 ft2/ac = 75.76 /ft2" {
		t.Errorf("%q, %v", us, err)
	}
	metric, err := ExplainRateForSeeds(want(units.DensityFromSquareMetre(280)), 0.85, SeedSize(1000/53.0), units.Metric)
	if err != nil || !slices.Equal(metric, []string{
		"bulk rate = 280 /m2 × 10,000 m2/ha ÷ (18867.9 seeds/kg × live share 85 %) = 174.6 kg/ha"}) {
		t.Errorf("%q, %v", metric, err)
	}
}
