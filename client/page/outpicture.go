package page

import (
	"slices"

	"turnrow/client/page/picture"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// onTarget is how far either way a rate still counts as on the aim: a
// calibration passes within 5 % of its target (University of Massachusetts
// Amherst Extension, Rotary Spreader Calibration Procedures).
const onTarget units.Share = 5_000

// outStretch is what went out of a box between two readings, all sides and
// lots together.
type outStretch struct {
	from, to  units.Area // by the counter
	ground    entry.ID
	mass, std units.Mass
	area      units.Area
	checked   bool              // the counter was corrected by then
	est       rate.RateEstimate // no rate where nothing went out
}

// stretches adds up what went out, reading by reading.
func stretches(b farm.Box, d farm.Drill) (out []outStretch) {
	at := map[entry.ID]int{}
	for _, o := range b.Out {
		i, ok := at[o.Reading]
		if !ok {
			i = len(out)
			at[o.Reading] = i
			out = append(out, outStretch{from: d.AreaOf(o.From), to: d.AreaOf(o.To), ground: o.Ground, checked: o.Checked})
		}
		s := &out[i]
		s.from, s.to = min(s.from, d.AreaOf(o.From)), max(s.to, d.AreaOf(o.To))
		s.mass += o.Mass
		s.std += o.Std // of sides and lots, one and the same error
	}
	for i := range out {
		s := &out[i]
		if s.area = s.to - s.from; s.area > 0 {
			s.est, _ = rate.OnGround(rate.Weighed{Mass: s.mass, Std: s.std}, s.area, s.checked)
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
	p := picture.Plot{ID: "out", Title: texts.Text("pic.rateout", b.Name), About: texts.Text("pic.rateout.about"),
		X: picture.Axis{Name: texts.Text("pic.counter", q.unit("ac", "ha")), Low: q.areaNumber(list[0].from), High: q.areaNumber(list[len(list)-1].to)},
		Y: picture.Axis{Name: q.unit("lb/ac", "kg/ha")}}
	out := &pictured{ID: p.ID, Title: p.Title, Head: []string{texts.Text("ground"), texts.Text("pic.stretch"), texts.Text("pic.rate"), texts.Text("box.aim")}}
	var went, aims []picture.XY
	for _, s := range list {
		r, low, high := q.rateNumber(s.est.Rate), q.rateNumber(s.est.Low), q.rateNumber(s.est.High)
		went = q.level(went, s, r)
		p.Marks = append(p.Marks, picture.Mark{At: picture.XY{X: q.areaNumber((s.from + s.to) / 2), Y: r}, Low: low, High: high, Label: texts.Text("pic.outmark")})
		aim := aimOn(q.View, s.ground, b.ID)
		if aim > 0 {
			aims = q.level(aims, s, q.rateNumber(aim))
		}
		p.Y.High = max(p.Y.High, high, q.rateNumber(aim)*(1+onTarget.Fraction()))
		out.Rows = append(out.Rows, []string{q.View.NameOf(s.ground), span(aboutArea(s.from, q.System), aboutArea(s.to, q.System)), s.est.Rate.Format(q.System), dash(aim > 0, aim.Format(q.System))})
	}
	p.Lines = []picture.Line{{Points: went, Pattern: "curve", Label: texts.Text("pic.went")}}
	if len(aims) > 0 {
		p.Lines = append(p.Lines, picture.Line{Points: aims, Pattern: "aim", Label: texts.Text("box.aim")})
		p.Bands = []picture.Band{{Low: times(aims, 1-onTarget.Fraction()), High: times(aims, 1+onTarget.Fraction()), Label: texts.Text("pic.aimband")}}
	}
	out.SVG = p.SVG()
	return out
}

// level adds a value that holds over a stretch to a line.
func (q *request) level(line []picture.XY, s outStretch, y float64) []picture.XY {
	return append(line, picture.XY{X: q.areaNumber(s.from), Y: y}, picture.XY{X: q.areaNumber(s.to), Y: y})
}

// times is a line so many times as high.
func times(line []picture.XY, factor float64) []picture.XY {
	out := make([]picture.XY, len(line))
	for i, p := range line {
		out[i] = picture.XY{X: p.X, Y: p.Y * factor}
	}
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
