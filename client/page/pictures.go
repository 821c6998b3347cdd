package page

import (
	"html/template"
	"slices"
	"strings"

	"turnrow/client/page/picture"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// pictured is a picture with the same as a table, for whoever reads that
// better.
type pictured struct {
	ID, Title string
	SVG       template.HTML
	Head      []string
	Rows      [][]string
}

// boxPictures is the pictures of a box that there is anything to show in. They
// are worked out from all that is known of the box, and so are fetched apart
// from the view that they belong to, which does not wait for them.
type boxPictures struct {
	Box      farm.Box
	Pictures []pictured
}

func picturesOf(q *request) (any, error) {
	b, err := q.pathBox()
	if err != nil {
		return nil, err
	}
	d, _ := q.View.DrillOf(b.Drill)
	lot, _ := q.View.LotOf(q.bottomLot(b))
	v := boxPictures{Box: b}
	for _, p := range []*pictured{q.dialCurve(b, lot), q.rateOut(b, d), q.seedLeft(b)} {
		if p != nil {
			v.Pictures = append(v.Pictures, *p)
		}
	}
	return v, nil
}

// The most that is drawn of each, the latest: more than a picture of a phone's
// width can tell apart.
const (
	catchesShown   = 60
	stretchesShown = 100
	momentsShown   = 200
)

// lastOf is the last few of a list.
func lastOf[T any](list []T, most int) []T { return list[max(0, len(list)-most):] }

// The measures that pictures are drawn in, by the units shown.

func (q *request) rateNumber(r units.RatePerArea) float64 {
	if q.System == units.Metric {
		return r.KgPerHa()
	}
	return r.LbPerAcre()
}

func (q *request) areaNumber(a units.Area) float64 {
	if q.System == units.Metric {
		return a.Hectares()
	}
	return a.Acres()
}

func (q *request) massNumber(m units.Mass) float64 {
	if q.System == units.Metric {
		return m.Kilograms()
	}
	return m.Pounds()
}

func (q *request) unit(us, metric string) string {
	if q.System == units.Metric {
		return metric
	}
	return us
}

// curveSteps is how many points a curve is drawn through: about one for each
// eight pixels.
const curveSteps = 40

// dialCurve pictures what a box gives of a lot at each mark of its dial; nil
// where neither chart nor catch says.
func (q *request) dialCurve(b farm.Box, l farm.Lot) *pictured {
	c, err := q.page.client.Curve(b.ID, l.ID)
	if err != nil {
		return nil
	}
	p := picture.Plot{ID: "curve", Title: words.text("pic.curve", b.Name, l.Name), About: words.text("pic.curve.about"),
		X: picture.Axis{Name: words.text("box.dial"), Low: b.DialFrom.Float(), High: q.lastMark(b, c).Float()},
		Y: picture.Axis{Name: q.unit("lb/ac", "kg/ha")}}
	out := &pictured{ID: p.ID, Title: p.Title, Head: []string{words.text("pic.what"), words.text("box.dial"), words.text("pic.rate"), words.text("pic.interval")}}
	q.drawFit(&p, c.Fit)
	q.drawChart(&p, out, b, l)
	q.drawCatches(&p, out, c)
	for _, m := range lastOf(c.Outs, catchesShown) {
		if est, err := m.RateEstimate(); err == nil {
			q.drawRate(&p, out, words.text("pic.out"), m.Dial, est.Rate, est.Low, est.High, picture.Diamond)
		}
	}
	if b.DialSet {
		at := b.Dial.Float()
		p.Lines = append(p.Lines, picture.Line{Points: []picture.XY{{X: at, Y: 0}, {X: at, Y: p.Y.High}}, Pattern: "now", Label: words.text("pic.dialnow", b.Dial)})
	}
	if b.Aim > 0 {
		aim := q.rateNumber(b.Aim)
		p.Y.High = max(p.Y.High, aim)
		p.Lines = append(p.Lines, picture.Line{Points: []picture.XY{{X: p.X.Low, Y: aim}, {X: p.X.High, Y: aim}}, Pattern: "aim", Label: words.text("pic.aim", b.Aim.Format(q.System))})
	}
	out.SVG = p.SVG()
	return out
}

// lastMark is where the dial ends; where nobody said, the last mark that is
// known of.
func (q *request) lastMark(b farm.Box, c farm.Curve) units.Dial {
	if b.DialTo > 0 {
		return b.DialTo
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

func (q *request) drawFit(p *picture.Plot, fit rate.Fit) {
	var line, low, high []picture.XY
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
		line = append(line, picture.XY{X: x, Y: q.rateNumber(est.Rate)})
		low = append(low, picture.XY{X: x, Y: q.rateNumber(est.Low)})
		high = append(high, picture.XY{X: x, Y: q.rateNumber(est.High)})
		p.Y.High = max(p.Y.High, q.rateNumber(est.Rate))
	}
	p.Bands = append(p.Bands, picture.Band{Low: low, High: high, Label: words.text("pic.band")})
	p.Lines = append(p.Lines, picture.Line{Points: line, Pattern: "curve", Label: words.text("pic.gives")})
}

func (q *request) drawChart(p *picture.Plot, out *pictured, b farm.Box, l farm.Lot) {
	for _, pt := range b.Chart {
		if strings.EqualFold(pt.Species, l.Species) {
			q.drawRate(p, out, words.text("pic.chart"), pt.Dial, pt.Rate, 0, 0, picture.Square)
		}
	}
}

func (q *request) drawCatches(p *picture.Plot, out *pictured, c farm.Curve) {
	for _, k := range lastOf(c.Catches, catchesShown) {
		q.drawRate(p, out, words.text("pic.catch"), k.Dial, k.Rate.Rate, k.Rate.Low, k.Rate.High, picture.Round)
	}
}

// drawRate draws a rate at a mark, and writes it into the table.
func (q *request) drawRate(p *picture.Plot, out *pictured, what string, d units.Dial, r, low, high units.RatePerArea, s picture.Shape) {
	p.Marks = append(p.Marks, picture.Mark{At: picture.XY{X: d.Float(), Y: q.rateNumber(r)}, Low: q.rateNumber(low), High: q.rateNumber(high), Shape: s, Label: what})
	p.Y.High = max(p.Y.High, q.rateNumber(r))
	row := []string{what, d.String(), r.Format(q.System), "–"}
	if low < high {
		row[3] = span(low.Format(q.System), high.Format(q.System))
	}
	out.Rows = append(out.Rows, row)
}

// onTarget is how far either way a rate still counts as on the aim: a
// calibration passes within 5 % of its target (University of Massachusetts
// Amherst Extension, Rotary Spreader Calibration Procedures).
const onTarget units.Share = 5_000

// outStretch is what went out of a box between two readings, all sides and
// lots together.
type outStretch struct {
	from, to     units.Area // by the counter
	ground       entry.ID
	mass, doubt  units.Mass
	area         units.Area
	rate, spread units.RatePerArea // spread: half of the 90 % interval
}

// stretches adds up what went out, reading by reading.
func stretches(b farm.Box, d farm.Drill) (out []outStretch) {
	at := map[entry.ID]int{}
	for _, o := range b.Out {
		i, ok := at[o.Reading]
		if !ok {
			i = len(out)
			at[o.Reading] = i
			out = append(out, outStretch{from: counterArea(d, o.From), to: counterArea(d, o.To), ground: o.Ground})
		}
		s := &out[i]
		s.from, s.to = min(s.from, counterArea(d, o.From)), max(s.to, counterArea(d, o.To))
		s.mass += o.Mass
		s.doubt += o.Doubt // of sides and lots, one and the same error
	}
	for i := range out {
		s := &out[i]
		if s.area = s.to - s.from; s.area > 0 {
			s.rate, _ = s.mass.Over(s.area)
			s.spread, _ = units.Mass(float64(s.doubt) * halfOf90).Over(s.area)
		}
	}
	return slices.DeleteFunc(out, func(s outStretch) bool { return s.area <= 0 })
}

// rateOut pictures what rate went out over the ground, against the aim; nil
// where nothing did.
func (q *request) rateOut(b farm.Box, d farm.Drill) *pictured {
	list := lastOf(stretches(b, d), stretchesShown)
	if len(list) == 0 {
		return nil
	}
	p := picture.Plot{ID: "out", Title: words.text("pic.rateout", b.Name), About: words.text("pic.rateout.about"),
		X: picture.Axis{Name: words.text("pic.counter", q.unit("ac", "ha")), Low: q.areaNumber(list[0].from), High: q.areaNumber(list[len(list)-1].to)},
		Y: picture.Axis{Name: q.unit("lb/ac", "kg/ha")}}
	out := &pictured{ID: p.ID, Title: p.Title, Head: []string{words.text("ground"), words.text("pic.stretch"), words.text("pic.rate"), words.text("box.aim")}}
	var line, aims, low, high []picture.XY
	for _, s := range list {
		from, to := q.areaNumber(s.from), q.areaNumber(s.to)
		r, spread := q.rateNumber(s.rate), q.rateNumber(s.spread)
		line = append(line, picture.XY{X: from, Y: r}, picture.XY{X: to, Y: r})
		p.Marks = append(p.Marks, picture.Mark{At: picture.XY{X: (from + to) / 2, Y: r}, Low: r - spread, High: r + spread, Label: words.text("pic.outmark")})
		aim := aimOn(q.View, s.ground, b.ID)
		if aim > 0 {
			a, within := q.rateNumber(aim), onTarget.Fraction()
			aims = append(aims, picture.XY{X: from, Y: a}, picture.XY{X: to, Y: a})
			low = append(low, picture.XY{X: from, Y: a * (1 - within)}, picture.XY{X: to, Y: a * (1 - within)})
			high = append(high, picture.XY{X: from, Y: a * (1 + within)}, picture.XY{X: to, Y: a * (1 + within)})
			p.Y.High = max(p.Y.High, a*(1+within))
		}
		p.Y.High = max(p.Y.High, r+spread)
		out.Rows = append(out.Rows, []string{q.View.NameOf(s.ground), span(aboutArea(s.from, q.System), aboutArea(s.to, q.System)), s.rate.Format(q.System), dash(aim > 0, aim.Format(q.System))})
	}
	p.Lines = []picture.Line{{Points: line, Pattern: "curve", Label: words.text("pic.went")}}
	if len(aims) > 0 {
		p.Lines = append(p.Lines, picture.Line{Points: aims, Pattern: "aim", Label: words.text("box.aim")})
		p.Bands = []picture.Band{{Low: low, High: high, Label: words.text("pic.aimband")}}
	}
	out.SVG = p.SVG()
	return out
}

func dash(known bool, text string) string {
	if !known {
		return "–"
	}
	return text
}

// aimOn is the bulk rate that the plan of a piece of ground puts through a
// box.
func aimOn(v *farm.View, ground, box entry.ID) (sum units.RatePerArea) {
	g, _ := v.GroundOf(ground)
	for _, p := range g.Plan {
		if p.Box == box {
			sum += p.Bulk
		}
	}
	return sum
}

// seedLeft pictures the seed left in a box over time; nil where nothing is
// known.
func (q *request) seedLeft(b farm.Box) *pictured {
	track := lastOf(q.page.client.Track(b.ID), momentsShown)
	p := picture.Plot{ID: "left", Title: words.text("pic.left", b.Name), About: words.text("pic.left.about"), Y: picture.Axis{Name: q.unit("lb", "kg")}}
	out := &pictured{ID: p.ID, Title: p.Title, Head: []string{words.text("entry.when"), words.text("pic.what"), words.text("box.left")}}
	var line, low, high []picture.XY
	var last, before float64
	for _, m := range track {
		l, ok := q.page.client.Line(m.Entry)
		if !ok {
			continue
		}
		at, left, half := max(last, float64(l.Clock)/1000), q.massNumber(m.Left), halfOf90*q.massNumber(m.LeftStd)
		if _, reading := l.Body.(*entry.MeterRead); !reading && len(line) > 0 {
			line = append(line, picture.XY{X: at, Y: before}) // what was poured or taken comes at once
		}
		line = append(line, picture.XY{X: at, Y: left})
		low, high = append(low, picture.XY{X: at, Y: max(0, left-half)}), append(high, picture.XY{X: at, Y: left + half})
		if shape, label, ok := momentMark(l.Body); ok {
			p.Marks = append(p.Marks, picture.Mark{At: picture.XY{X: at, Y: left}, Shape: shape, Label: label})
		}
		p.Y.High = max(p.Y.High, left+half)
		last, before = at, left
		out.Rows = append(out.Rows, []string{q.Clock(l.Clock), l.What, roughMass(m.Left, q.System).Format(q.System)})
	}
	if len(line) < 2 {
		return nil
	}
	p.X = picture.TimeAxis(words.text("pic.time"), line[0].X, last, q.zone)
	p.Lines = []picture.Line{{Points: line, Pattern: "curve", Label: words.text("box.left")}}
	p.Bands = []picture.Band{{Low: low, High: high, Label: words.text("pic.band")}}
	out.SVG = p.SVG()
	return out
}

// momentMark is how what happened to a box is marked.
func momentMark(b entry.Body) (picture.Shape, string, bool) {
	switch b.(type) {
	case *entry.Filled:
		return picture.Up, words.text("pic.fill"), true
	case *entry.Drained:
		return picture.Down, words.text("pic.drain"), true
	case *entry.LevelRead:
		return picture.Round, words.text("pic.level"), true
	}
	return 0, "", false
}
