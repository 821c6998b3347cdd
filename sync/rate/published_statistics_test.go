package rate

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// list reads numbers with strokes between them.
func list(text string) []float64 {
	var values []float64
	for _, field := range strings.Split(text, "/") {
		values = append(values, want(strconv.ParseFloat(strings.TrimSpace(field), 64)))
	}
	return values
}

// series are the x and y lists of a row written as x=1/2/3; y=4/5/6.
func series(inputs string) (x, y []float64) {
	_, rest, _ := strings.Cut(inputs, "x=")
	xs, rest, _ := strings.Cut(rest, ";")
	_, rest, _ = strings.Cut(rest, "y=")
	ys, _, _ := strings.Cut(rest, ";")
	return list(xs), list(ys)
}

// norris is the data of NIST StRD's Norris set, which row A182 holds.
func norris(t *testing.T) (x, y []float64) {
	t.Helper()
	for _, p := range readPublished(t) {
		if p.id != "A182" {
			continue
		}
		_, data, _ := strings.Cut(p.inputs, "(x,y)=")
		data, _, _ = strings.Cut(data, ";")
		for _, pair := range strings.Split(data, "/") {
			a, b, _ := strings.Cut(pair, ",")
			x, y = append(x, list(a)...), append(y, list(b)...)
		}
	}
	if len(x) != 36 {
		t.Fatalf("Norris has 36 points, read %d", len(x))
	}
	return x, y
}

// tFor is Student's t for a row's degrees of freedom and level.
func tFor(t *testing.T, p published) float64 {
	t.Helper()
	df := p.given()["df"]
	switch {
	case strings.Contains(p.inputs, "central 95 %"):
		return twoSidedT(0.95, df)
	case strings.Contains(p.inputs, "3 sigma exactly"):
		return twoSidedT(normalWithin(3), df)
	case strings.Contains(p.inputs, "1-0.95^(1/3)"):
		return twoSidedT(math.Cbrt(0.95), df)
	case strings.Contains(p.inputs, "one-sided p="):
		_, level, _ := strings.Cut(p.inputs, "one-sided p=")
		level, _, _ = strings.Cut(level, ";")
		return studentT(list(level)[0], df)
	}
	t.Fatalf("%s: no level in %q", p.id, p.inputs)
	return 0
}

// meanFor is the t or a limit of NIST's mean with its interval.
func meanFor(t *testing.T, p published) float64 {
	t.Helper()
	g := p.given()
	if strings.HasSuffix(p.inputs, "find t 0.975") {
		return studentT(0.975, g["df"])
	}
	e := Estimate{Value: g["mean"], Std: g["sd"] / math.Sqrt(g["n"]), Freedom: g["n"] - 1}
	low, high := e.Interval(0.95)
	if strings.HasSuffix(p.inputs, "upper 95 %") {
		return high
	}
	return low
}

// lineFor is the figure that a row asks of a straight line.
func lineFor(t *testing.T, p published) float64 {
	t.Helper()
	_, wanted, _ := strings.Cut(p.inputs, "find ")
	var l line
	var err error
	switch {
	case strings.Contains(p.inputs, "NoInt"):
		x, y := series(p.inputs)
		l, err = throughOrigin(x, y, nil)
	case strings.Contains(p.inputs, "weights 1"):
		x, y := norris(t)
		ones := make([]float64, len(x))
		for i := range ones {
			ones[i] = 1
		}
		l, err = fitLine(x, y, ones)
	default:
		x, y := norris(t)
		l, err = fitLine(x, y, nil)
	}
	if err != nil {
		t.Fatal(err)
	}
	figures := map[string]float64{
		"intercept": l.intercept, "slope": l.slope,
		"sd of intercept": math.Sqrt(l.varIntercept) * l.residualSD(),
		"sd of slope":     math.Sqrt(l.varSlope) * l.residualSD(),
		"residual sd":     l.residualSD(), "residual sd (n-1)": l.residualSD(),
		"R2": l.rSquared(), "R2 about zero": l.rSquared(),
		"cov00": l.varIntercept, "cov01": l.covariance, "cov11": l.varSlope,
		"weighted sum of squares": l.squares,
	}
	figure, ok := figures[wanted]
	if !ok {
		t.Fatalf("%s: a line has no %q", p.id, wanted)
	}
	return figure
}

func curveFor(t *testing.T, p published) float64 {
	t.Helper()
	x, y := series(p.inputs)
	return newCurve(x, y).at(p.given()["at"])
}

// standFor works out the three rows on stands.
func standFor(t *testing.T, p published) float64 {
	t.Helper()
	switch p.id {
	case "A065": // 1.7 plants to the foot of row, as 17 in ten feet
		frame := want(FrameOfRow(feet(10), inches(30)))
		return want(StandOf(frame, []int64{17})).Mean.PerSquareMetre() * squareMetresPerAcre
	case "A133":
		return want(FrequencyGrid(1, 100)).Conservative.PerSquareMetre()
	case "A134":
		return 100 / want(FrequencyGrid(100, 100)).PerCell.PerSquareMetre()
	}
	t.Fatalf("%s (%s) is not computed", p.id, p.inputs)
	return 0
}

// Every row of the published checks on statistics, curves and stands: Student's
// t against NIST TN 1297 table B.1 and the e-Handbook, the mean's interval,
// straight lines against NIST StRD (Norris, NoInt1, NoInt2) and a reference
// library, the monotone curve against a reference library's example, stand
// counts and frequency grids. Each is held to the published figure at its
// rounding, to 12 figures where 15 are certified, and to the exact figure. A
// flagged row is held to the exact figure alone.
func TestPublishedStatistics(t *testing.T) {
	compute := []struct {
		topic string
		of    func(*testing.T, published) float64
	}{
		{"9 stand count", standFor}, {"10 Student t", tFor}, {"10 mean with interval", meanFor},
		{"10 straight line", lineFor}, {"10 line through origin", lineFor}, {"11 weighted line", lineFor},
		{"11 monotone curve", curveFor},
	}
	rows := 0
	for _, p := range readPublished(t) {
		for _, c := range compute {
			if p.topic == c.topic {
				rows++
				p.hold(t, c.of(t, p))
			}
		}
	}
	if rows != 67 {
		t.Errorf("%d rows checked, want 67", rows)
	}
}

// hold holds a figure against a row.
func (p published) hold(t *testing.T, got float64) {
	t.Helper()
	printed, exact := list(p.result)[0], list(p.exact)[0]
	asked := p.inputs[max(0, len(p.inputs)-60):]
	t.Logf("%s ...%s: %.15g, published %s [%s, %s]", p.id, asked, got, p.result, p.publisher, p.title)
	certified := strings.HasPrefix(p.rounding, "15 digits")
	tolerance := 2e-9 // recomputed to ten figures
	switch {
	case certified:
		tolerance = 5e-13
	case p.topic == "9 stand count":
		tolerance = 1e-4 // densities are whole thousandths of a plant
	}
	if p.id == "A133" {
		exact = printed // 0.4 is the published factor, low on purpose; 0.444 is PerCell's
	}
	agree(t, p.id+" exact", got, exact, tolerance)
	if p.flag != "" {
		return
	}
	if certified {
		agree(t, p.id+" certified", got, printed, 5e-13)
		return
	}
	if slack := p.step(t) / 2; math.Abs(got-printed) > slack*(1+1e-9) {
		t.Errorf("%s: got %.10g, published %s to %s", p.id, got, p.result, p.rounding)
	}
}

// step is what a row's published figure is rounded to.
func (p published) step(t *testing.T) float64 {
	t.Helper()
	switch first := strings.Fields(p.rounding)[0]; {
	case p.rounding == "exact":
		return 1e-4
	case p.rounding == "4 decimals":
		return 1e-4
	case strings.Contains(p.rounding, "s.f."):
		return 10_000
	default:
		return list(strings.TrimRight(first, ","))[0]
	}
}
