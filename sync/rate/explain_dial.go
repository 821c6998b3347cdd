package rate

import (
	"math"
	"strings"

	"turnrow/sync/units"
)

// ExplainDial writes the sum of DialFor step by step: each setting against the
// shape, the level and bend that they make, and the dial where that meets the
// target. It fails where DialFor does.
func (f Fit) ExplainDial(target units.RatePerArea, system units.System) ([]string, error) {
	choice, err := f.DialFor(target)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	for _, a := range f.aside {
		p.line("%s", a.words(system))
	}
	for _, s := range f.settings {
		f.explainSetting(p, s)
	}
	f.explainBasis(p)
	if choice.Reached {
		p.line("dial where that gives %s = %v", p.microgram(float64(target)), choice.Dial)
	} else {
		p.line("the dial goes from %v to %v, which does not reach %s", f.box.From, f.box.To, p.microgram(float64(target)))
	}
	p.line("at dial %v the box gives %s, nine times in ten between %s", choice.Dial,
		p.microgram(float64(choice.Rate.Rate)), strings.Replace(Between(choice.Rate.Low, choice.Rate.High, system), " to ", " and ", 1))
	if choice.Reached {
		p.line("nine times in ten the target lies between dial %v and %v", choice.Low, choice.High)
	}
	p.line("%s: %s", choice.Next, choice.Why)
	return p.lines, nil
}

// explainSetting writes what was caught at one dial as a ratio to the chart, or
// to its dial where there is no chart.
func (f Fit) explainSetting(p *paper, s setting) {
	times := ""
	if s.pool.n > 1 {
		times = " (mean of " + figure(float64(s.pool.n), 4) + ")"
	}
	what, chart := exp(s.pool.log), exp(s.x)
	if len(f.box.Chart) == 0 {
		p.line("caught at dial %v: %s%s ± %s; for each mark %s", s.dial, p.rate(what), times, percent2(math.Sqrt(s.spread.Var)),
			p.microgram(what/chart))
		return
	}
	p.line("caught at dial %v: %s%s ± %s ÷ chart %s = %s", s.dial, p.rate(what), times, percent2(math.Sqrt(s.spread.Var)), p.rate(chart), figure(what/chart, 4))
}

// explainBasis writes what the fit rests on.
func (f Fit) explainBasis(p *paper) {
	factor, s := f.Scale()
	switch f.basis {
	case FromChart:
		p.line("nothing caught: the chart as it is, ± %s", percent(chartSpread))
		return
	case FromProportional:
		p.line("no chart: in proportion through the catches = dial × %s ± %s", p.microgram(factor), percent2(math.Sqrt(s.Var)))
	case FromChartScaled:
		p.line("scale = these together with the chart's own 1 ± %s, each by 1 ÷ its doubt squared = %s ± %s",
			percent(chartSpread), figure(factor, 4), percent2(math.Sqrt(s.Var)))
	}
	p.line("%s, so the further from there the wider: ± %s for each 2.7 times the rate", f.bendText(), percent2(math.Sqrt(f.line.bendSpread.Var)))
	if _, off := f.OffChart(); off {
		p.line("the catches lie off the chart by more than both are in doubt by: they stand, and the chart gives way to them")
	}
	if !f.Agree() {
		p.line("by the catches less goes out as the dial opens: nothing is made of that")
	}
}

// bendText says how the catches bend the shape.
func (f Fit) bendText() string {
	if f.line.bend == 0 {
		return "the shape is taken from one dial"
	}
	return "the catches bend the shape by " + percent2(f.line.bend) + " for each 2.7 times the rate"
}

// microgram writes a rate in µg/m².
func (p *paper) microgram(rate float64) string { return p.rate(rate / 1e6) }
