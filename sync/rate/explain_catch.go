package rate

import (
	"math"
	"strings"

	"turnrow/sync/units"
)

// Explain writes the sum of Rate.
func (c Catch) Explain(system units.System) ([]string, error) {
	r, err := c.Rate()
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	area, err := c.explain(p)
	if err != nil {
		return nil, err
	}
	for _, a := range r.Aside {
		p.line("%s", a.words(system))
	}
	if r.Plugged {
		p.line("nothing came: rate 0; the scale would not have shown less than %s", r.High.Format(system))
		return p.lines, nil
	}
	if r.Masses > 1 {
		p.line("mass = mean of %d catches = %s", r.Masses, p.mass(r.Mass.Grams()))
	}
	p.line("rate = %s ÷ %s = %s", p.mass(r.Mass.Grams()), p.field(area), p.rate(float64(r.Rate)/1e6))
	r.explainStd(p)
	return p.lines, nil
}

// explainStd writes where the uncertainty comes from and the interval that it makes.
func (r CatchRate) explainStd(p *paper) {
	repeats := r.pool.repeats()
	p.line("catches at one setting differ by %s (%s)", percent2(math.Sqrt(repeats.Var)), r.repeatSource())
	p.line("doubt: repeats %s, turns %s, scale %s, rows %s, roll %s; together, in squares, %s", percent2(r.Std.Repeats),
		percent2(r.Std.Turns), percent2(r.Std.Scale), percent2(r.Std.Rows), percent2(r.Std.Roll), percent2(math.Sqrt(r.Spread.Var)))
	if r.Std.Rows == 0 {
		p.line("no row was left out, so rows add nothing")
	}
	p.line("nine times in ten between %s (±%s; t = %s)", strings.Replace(Between(r.Low, r.High, p.system), " to ", " and ", 1),
		percentHalf(r.Half()), figure(twoSidedT(Confidence, r.Spread.DF), 3))
}

func (r CatchRate) repeatSource() string {
	if r.Masses == 1 {
		return "caught once: by published drills, 0.3 to 5.5 %"
	}
	return "published drills, and these catches"
}

// words tells what was set aside and why.
func (a Aside) words(system units.System) string {
	if a.Slip.Plugged {
		return "set aside: 0 g. Nothing came; was the meter plugged?"
	}
	text := "set aside: " + a.Rate.Format(system) + ", " + timesText(a.Slip.Times) + " what the others make it"
	if a.Slip.Likely != "" {
		text += " (" + a.Slip.Likely + "? then " + a.Slip.Instead.Format(system) + ")"
	}
	return text
}

// Words tells what was set aside and why, in one line.
func (a Aside) Words(system units.System) string { return a.words(system) }

// timesText writes a ratio of two rates.
func timesText(times float64) string { return figure(times, 3) + " times" }

// percent2 writes a share in per cent to two figures.
func percent2(share float64) string { return figure(share*100, 2) + " %" }
