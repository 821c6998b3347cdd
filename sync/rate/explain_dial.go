package rate

import "turnrow/sync/units"

// ExplainDial writes the sum of DialFor step by step: each measurement against
// the shape, the scale (or line) that they make, and the dial where it meets
// the target. It fails where DialFor does.
func (f Fit) ExplainDial(target units.RatePerArea, system units.System) ([]string, error) {
	choice, err := f.DialFor(target)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	for i, r := range f.ratios() {
		f.explainMeasured(p, f.measured[i], r)
	}
	f.explainBasis(p)
	if choice.Reached {
		p.line("dial where that gives %s = %v", p.microgram(float64(target)), choice.Dial)
	} else {
		p.line("the dial goes from %v to %v, which does not reach %s", f.box.From, f.box.To, p.microgram(float64(target)))
	}
	p.line("at dial %v the box gives %s, nine times in ten between %s and %s", choice.Dial,
		p.microgram(float64(choice.Rate.Rate)), p.microgram(float64(choice.Rate.Low)), p.microgram(float64(choice.Rate.High)))
	if choice.Reached {
		p.line("nine times in ten the target lies between dial %v and %v", choice.Low, choice.High)
	}
	p.line("%s: %s", choice.Next, choice.Why)
	return p.lines, nil
}

// explainMeasured writes one measurement as a ratio to the chart, or to its
// dial where there is no chart.
func (f Fit) explainMeasured(p *paper, m Measured, ratio Estimate) {
	doubt := percent(m.Relative)
	if len(f.box.Chart) == 0 {
		p.line("caught at dial %v: %s ± %s; for each mark %s", m.Dial, p.microgram(float64(m.Rate)), doubt,
			p.microgram(ratio.Value))
		return
	}
	p.line("caught at dial %v: %s ± %s ÷ chart %s = %s", m.Dial, p.microgram(float64(m.Rate)), doubt,
		p.microgram(f.shape.at(m.Dial.Float())), figure(ratio.Value, 4))
}

// explainBasis writes what the fit rests on.
func (f Fit) explainBasis(p *paper) {
	switch f.basis {
	case FromLine:
		p.line("the catches contradict the shape; straight line through them = %s + dial × %s",
			p.microgram(f.line.intercept), p.microgram(f.line.slope))
	case FromProportional:
		p.line("no chart: in proportion through the catches, each weighted by 1 ÷ its doubt squared = dial × %s ± %s",
			p.microgram(f.scale.Value), percent(f.scale.Relative()))
	case FromChart:
		p.line("nothing caught: the chart as it is, ± %s", percent(ChartDoubt))
	case FromChartScaled:
		p.line("scale = mean of these and of the chart's own 1 ± %s, each weighted by 1 ÷ its doubt squared = %s ± %s",
			percent(ChartDoubt), figure(f.scale.Value, 4), percent(f.scale.Relative()))
	}
	if !f.agree {
		p.line("the catches disagree with one another, so their doubts are widened until they do not")
	}
}

// microgram writes a rate in µg/m².
func (p *paper) microgram(rate float64) string { return p.rate(rate / 1e6) }
