package rate

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"turnrow/sync/units"
)

var update = flag.Bool("update", false, "write the golden file anew from what this processor computes")

const goldenFile = "../../testdata/golden/rate.golden"

// page collects the engine's figures, one to a line, with all their digits.
type page struct{ strings.Builder }

// put writes a name and values, each with every digit that it has.
func (p *page) put(name string, values ...any) {
	p.WriteString(name)
	for _, v := range values {
		fmt.Fprintf(p, " %v", v)
	}
	p.WriteByte('\n')
}

// The figures are the same, digit for digit, on every processor: this test runs
// on amd64, arm64 and wasm against one file. What the figures should be is held
// by the other tests; here any difference at all is a failure.
func TestFiguresAreTheSameEverywhere(t *testing.T) {
	var p page
	for _, write := range []func(*page){goldenElementary, goldenStatistics, goldenArithmetic, goldenCurve,
		goldenFits, goldenField, goldenBoxes} {
		write(&p)
	}
	got := p.String()
	if *update {
		if err := os.WriteFile(goldenFile, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	stored, err := os.ReadFile(goldenFile)
	if err != nil {
		t.Fatal(err)
	}
	old, now := strings.Split(string(stored), "\n"), strings.Split(got, "\n")
	for i := range max(len(old), len(now)) {
		if i >= len(old) || i >= len(now) {
			t.Fatalf("%d lines, the golden file has %d", len(now), len(old))
		}
		if old[i] != now[i] {
			t.Errorf("line %d:\n\tgot  %s\n\twant %s", i+1, now[i], old[i])
		}
	}
}

func goldenElementary(p *page) {
	for k := range 40 {
		x := float64(k*k) / 27 // a quotient: arm64 must not fuse the test itself
		p.put("exp", -x, exp(-x), exp(x/3))
		p.put("ln", x+0.01, ln(x+0.01), lnGamma(x+0.01), "sin", sin(x/40))
		p.put("normal", x/8, normalWithin(x/8), normalDensity(x/8))
	}
}

func goldenStatistics(p *page) {
	for _, df := range []float64{1, 1.5, 2, 2.75, 3, 4, 7, 10.3, 29, 100, 300, 301, 5000, Known} {
		for _, q := range []float64{0.6, 0.9, 0.95, 0.975, 0.99, 0.995, 0.9995} {
			p.put("t", df, q, studentT(q, df), studentWithin(q*3, df))
		}
	}
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3}
	y := []float64{0.1, 338.8, 118.1, 888, 9.2, 228.1, 668.5, 998.5}
	p.put("line", fmt.Sprintf("%+v", want(fitLine(x, y, nil))))
	p.put("weighted line", fmt.Sprintf("%+v", want(fitLine(x, y, x))))
	p.put("through origin", fmt.Sprintf("%+v", want(throughOrigin(x, y, y))))
	p.put("mean", mean(y), sd(y), meanEstimate(y))
	p.put("combined", Estimate{20, 0.4, 3}.Times(Estimate{7, 0.2, 5}).Over(Estimate{3, 0.1, Known}).Minus(Estimate{5, 1, 9}))
}

// goldenArithmetic is the sums from the tag to the order and the catch.
func goldenArithmetic(p *page) {
	tag := Tag{Purity: 97_310, Germination: 83_700, Hard: 7_900, HardLeftOut: 33_000, Coating: 21_400}
	live := want(tag.Live())
	p.put("tag", live, want(tag.BareLive()))
	for _, lb := range []float64{3, 7.7, 23, 111} {
		bulk := want(Bulk(lbPerAcre(lb), live))
		size := perPound(227_123 / lb)
		p.put("bulk", bulk, size, want(SeedsPerArea(bulk, live, size)), want(RateForSeeds(33_333, live, size)))
		order := Order{Bulk: bulk, Area: hectare * 3, Bag: pounds(50), Price: 14_550, Reserve: 7_000, OnHand: pounds(11), Live: live}
		p.put("order", want(order.Bill()))
	}
	p.put("mix", want(MixByMass(lbPerAcre(31), brome)))
	run := Run{Roll: feet(8.2), Turns: 31_250, Rows: 5, Spacing: inches(7.5), Drill: 16}
	p.put("run", want(run.Area()), want(run.Aim(lbPerAcre(23))), want(TurnsPerAcre(feet(8.2), feet(10))))
	rows := []units.Mass{41_000, 44_000, 39_500, 45_000, 42_500}
	for _, c := range []Catch{{Run: run, Caught: []units.Mass{212_000}}, {Run: run, Caught: []units.Mass{212_000, 208_000, 217_000}},
		{Run: run, RowMasses: rows}} {
		r := want(c.Rate())
		p.put("catch", r.Rate, r.Low, r.High, r.Spread, r.Std, want(c.Needs()), r.Help())
	}
	p.put("pace", want(PerHour(8_046_720, feet(10), 70_000)))
}

func goldenCurve(p *page) {
	c := want(chartCurve([]ChartPoint{{5_000, 300_000}, {20_000, 2_017_000}, {30_000, 3_900_000}, {60_000, 7_397_000}}, 0, 100_000))
	for dial := range 41 {
		x := 2.3 * float64(dial)
		p.put("curve", x, c.at(x), bisect(0, 100, 90_000*x, c.at))
	}
}

func goldenFits(p *page) {
	fits := []struct {
		name     string
		box      Box
		measured []Measured
	}{
		{"chart", grainBox, nil},
		{"scaled", grainBox, stated(40_000, 5_100_000, 0.031, 4, 45_000, 5_900_000, 0.044, 2.5, 45_000, 5_700_000, 0.05, Known)},
		{"bent", grainBox, stated(20_000, 4_000_000, 0.021, 3, 40_000, 4_600_000, 0.03, Known, 60_000, 5_000_000, 0.022, 6)},
		{"off", grainBox, stated(40_000, 4_000_000, 0.01, Known, 40_000, 5_000_000, 0.013, Known)},
		{"proportional", Box{To: 100_000}, stated(40_000, 4_000_000, 0.053, 3)},
	}
	for _, c := range fits {
		f := want(FitBox(c.box, c.measured))
		factor, scale := f.Scale()
		p.put(c.name, f.Basis(), f.Agree(), factor, scale)
		for dial := units.Dial(7_000); dial < 100_000; dial += 13_000 {
			p.put("rate", dial, want(f.RateAt(dial)))
		}
		for _, target := range []units.RatePerArea{1_234_567, 4_444_444, 6_000_000, 99_000_000} {
			p.put("dial", target, want(f.DialFor(target)))
		}
	}
}

// stated are rates at dials, each with its uncertainty and degrees of freedom.
func stated(figures ...float64) (list []Measured) {
	for i := 0; i < len(figures); i += 4 {
		list = append(list, Measured{Dial: units.Dial(figures[i]), Rate: units.RatePerArea(figures[i+1]), Relative: figures[i+2], Freedom: figures[i+3]})
	}
	return list
}

func goldenField(p *page) {
	s := Stretch{Poured: Weighed{50 * kilogram, 40_000}, Left: Weighed{7 * kilogram, 700_000}, Area: 2 * hectare}
	out := want(s.Out())
	p.put("out", out, want(DriftFrom(out.Rate, steady(2_300_000, 0.031))), want(AgainstAim(2_000_000, out.Rate)))
	crank := Crank{Standing: steady(1_900_000, 0.027), Caught: true}
	p.put("field", want(FieldOf(crank, nil, false)), want(FieldOf(crank, []Out{out}, false)), want(FieldOf(crank, []Out{out, out}, true)).Metering(true))
	p.put("evenness", want(EvennessOf([]units.Mass{4_100, 5_050, 6_123, 1_001, 4_777})))
	p.put("stand", want(StandOf(929, []int64{10, 14, 11, 13, 0, 22})), want(StandOf(929, []int64{7})))
	p.put("grid", want(FrequencyGrid(37, 75)))
	p.put("burn off", want(BurnOff(Weighed{24 * kilogram, kilogram}, want(RateByBushel(out.Rate, pounds(60), pounds(32))))))
	for _, ring := range []float64{-62.5, -30, 0.5, 28.2, 44.9, 51.3, 68.8} {
		field := degreesRing(-90, ring, -89.99, ring+0.001, -89.991, ring+0.0093, -90.002, ring+0.008)
		p.put("piece", ring, want(PieceArea([][]Point{field})))
	}
}

type lotMass struct {
	Lot  string
	Mass units.Mass
}

func lots(ls []Layer) (out []lotMass) {
	for _, l := range ls {
		out = append(out, lotMass{l.Lot, l.Mass})
	}
	return out
}

func goldenBoxes(p *page) {
	for i, events := range aDay() {
		s := want(SeedIn([]int{9, 7}, events))
		for _, side := range s.Sides {
			p.put("side", i, side.Mass(), side.Std(), lots(side.Layers), side.Short)
		}
		dry, first, err := s.UntilDry(metered(2_000_000, 0.077))
		p.put("dry", dry, first, err, want(s.ToFinish(hectare, []Metering{metered(2_000_000, 0.077)}, 20*kilogram, pounds(50))))
		p.put("balances", s.Balances)
	}
}
