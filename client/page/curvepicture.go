package page

import (
	"strings"

	"turnrow/client/page/picture"
	"turnrow/client/words"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// curveSteps is how many points a curve is drawn through: about one for each
// eight pixels.
const curveSteps = 40

// dialCurve pictures what a box gives of a lot at each mark of its dial; nil
// where neither chart nor catch says.
func (q *request) dialCurve(b farm.Box, l farm.Lot) *pictured {
	c, err := q.page.farm.Curve(b.ID, l.ID)
	if err != nil {
		return nil
	}
	p := picture.Plot{ID: "curve", Title: texts.Text("pic.curve", b.Name, l.Name), About: texts.Text("pic.curve.about"),
		X: q.dialAxis(b, c),
		Y: picture.Axis{Name: q.unit("lb/ac", "kg/ha")}}
	out := &pictured{ID: p.ID, Title: p.Title, Head: []string{texts.Text("pic.what"), texts.Text("box.dial"), texts.Text("pic.rate"), texts.Text("pic.interval")}}
	q.drawFit(&p, c.Fit)
	q.drawChart(&p, out, b, l)
	q.drawCatches(&p, out, b, c)
	for _, m := range lastOf(c.Outs, catchesShown) {
		if est, err := m.RateEstimate(); err == nil {
			q.drawRate(&p, out, texts.Text("pic.out"), words.Mark(b, 0, m.Dial), m.Dial, est.Rate, est.Low, est.High, picture.Diamond)
		}
	}
	if b.DialSet {
		at := b.Dial.Float()
		p.Lines = append(p.Lines, picture.Line{Points: []picture.XY{{X: at, Y: 0}, {X: at, Y: p.Y.High}}, Pattern: "now", Label: texts.Text("pic.dialnow", words.Mark(b, 0, b.Dial))})
	}
	if b.Aim > 0 {
		aim := q.rateNumber(b.Aim)
		p.Y.High = max(p.Y.High, aim)
		p.Lines = append(p.Lines, picture.Line{Points: []picture.XY{{X: p.X.Low, Y: aim}, {X: p.X.High, Y: aim}}, Pattern: "aim", Label: texts.Text("pic.aim", b.Aim.Format(q.System))})
	}
	out.SVG = p.SVG()
	return out
}

// dialAxis is the axis of a box's dial: by its marks where it has such, and
// else by its numbers.
func (q *request) dialAxis(b farm.Box, c farm.Curve) picture.Axis {
	a := picture.Axis{Name: texts.Text("box.dial"), Low: min(b.DialFrom, b.DialTo).Float(), High: q.lastMark(b, c).Float()}
	marks := b.MarksOf(0)
	if len(marks) == 0 {
		return a
	}
	a.Low, a.High = 1, float64(len(marks))
	for i := 0; i < len(marks); i += 1 + len(marks)/mostMarks {
		a.Ticks = append(a.Ticks, float64(i+1))
	}
	a.Write = func(place float64) string { return marks[int(place)-1] }
	return a
}

// mostMarks is about how many marks have room along an axis.
const mostMarks = 12

// lastMark is where the dial ends; where nobody said, the last mark that is
// known of.
func (q *request) lastMark(b farm.Box, c farm.Curve) units.Dial {
	if to := max(b.DialFrom, b.DialTo); to > 0 {
		return to
	}
	top := b.Dial
	for _, p := range b.Chart {
		top = max(top, p.Dial)
	}
	for _, k := range c.Catches {
		top = max(top, k.Dial)
	}
	return top
}

// drawFit draws the curve: whole where chart or catches bear it, dashed beyond
// them, with the band around both.
func (q *request) drawFit(p *picture.Plot, fit rate.Fit) {
	var low, high []picture.XY
	var runs [][]picture.XY // of the curve, in turn within what is known and beyond it
	var beyond []bool
	for i := range curveSteps + 1 {
		x := p.X.Low + (p.X.High-p.X.Low)*float64(i)/curveSteps
		d, err := units.DialFromFloat(x)
		if err != nil {
			continue
		}
		est, err := fit.RateAt(d)
		if err != nil {
			continue // the box gives nothing there
		}
		at := picture.XY{X: x, Y: q.rateNumber(est.Rate)}
		if n := len(runs); n == 0 || beyond[n-1] != fit.Beyond(d) {
			var run []picture.XY
			if n > 0 {
				run = append(run, runs[n-1][len(runs[n-1])-1]) // no gap between them
			}
			runs, beyond = append(runs, run), append(beyond, fit.Beyond(d))
		}
		runs[len(runs)-1] = append(runs[len(runs)-1], at)
		low = append(low, picture.XY{X: x, Y: q.rateNumber(est.Low)})
		high = append(high, picture.XY{X: x, Y: q.rateNumber(est.High)})
		p.Y.High = max(p.Y.High, at.Y)
	}
	p.Bands = append(p.Bands, picture.Band{Low: low, High: high, Label: texts.Text("pic.band")})
	for i, run := range runs {
		l := picture.Line{Points: run, Pattern: "curve", Label: texts.Text("pic.gives")}
		if beyond[i] {
			l.Pattern, l.Label = "beyond", texts.Text("pic.beyond")
		}
		p.Lines = append(p.Lines, l)
	}
}

func (q *request) drawChart(p *picture.Plot, out *pictured, b farm.Box, l farm.Lot) {
	for _, pt := range b.Chart {
		if strings.EqualFold(pt.Species, l.Species) {
			q.drawRate(p, out, texts.Text("pic.chart"), words.Mark(b, 0, pt.Dial), pt.Dial, pt.Rate, 0, 0, picture.Square)
		}
	}
}

func (q *request) drawCatches(p *picture.Plot, out *pictured, b farm.Box, c farm.Curve) {
	for _, k := range lastOf(c.Catches, catchesShown) {
		q.drawRate(p, out, texts.Text("pic.catch"), words.Mark(b, 0, k.Dial), k.Dial, k.Rate.Rate, k.Rate.Low, k.Rate.High, picture.Round)
		for _, a := range k.Aside {
			q.drawRate(p, out, texts.Text("pic.aside"), words.Mark(b, 0, k.Dial), k.Dial, a.Rate, 0, 0, picture.Down)
		}
	}
}

// drawRate draws a rate at a setting, and writes it into the table by its mark.
func (q *request) drawRate(p *picture.Plot, out *pictured, what, mark string, d units.Dial, r, low, high units.RatePerArea, s picture.Shape) {
	p.Marks = append(p.Marks, picture.Mark{At: picture.XY{X: d.Float(), Y: q.rateNumber(r)}, Low: q.rateNumber(low), High: q.rateNumber(high), Shape: s, Label: what})
	p.Y.High = max(p.Y.High, q.rateNumber(r))
	row := []string{what, mark, r.Format(q.System), "–"}
	if low < high {
		row[3] = span(low.Format(q.System), high.Format(q.System))
	}
	out.Rows = append(out.Rows, row)
}
