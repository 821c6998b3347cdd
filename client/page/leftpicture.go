package page

import (
	"turnrow/client/page/picture"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// seedLeft pictures the seed left in a box over time; nil where nothing is
// known.
func (q *request) seedLeft(b farm.Box) *pictured {
	track := lastOf(q.page.farm.Track(b.ID), momentsShown)
	p := picture.Plot{ID: "left", Title: texts.Text("pic.left", b.Name), About: texts.Text("pic.left.about"), Y: picture.Axis{Name: q.unit("lb", "kg")}}
	out := &pictured{ID: p.ID, Title: p.Title, Head: []string{texts.Text("entry.when"), texts.Text("pic.what"), texts.Text("box.left")}}
	var line, low, high []picture.XY
	var last, before float64
	for _, m := range track {
		l, ok := q.page.farm.Line(m.Entry)
		if !ok {
			continue
		}
		at, left, most := max(last, float64(l.Clock)/1000), q.massNumber(m.Left), q.massNumber(m.High)
		if _, reading := l.Body.(*entry.MeterRead); !reading && len(line) > 0 {
			line = append(line, picture.XY{X: at, Y: before}) // what was poured or taken comes at once
		}
		line = append(line, picture.XY{X: at, Y: left})
		low, high = append(low, picture.XY{X: at, Y: q.massNumber(m.Low)}), append(high, picture.XY{X: at, Y: most})
		if shape, label, ok := momentMark(l.Body); ok {
			p.Marks = append(p.Marks, picture.Mark{At: picture.XY{X: at, Y: left}, Shape: shape, Label: label})
		}
		p.Y.High = max(p.Y.High, most)
		last, before = at, left
		out.Rows = append(out.Rows, []string{q.Clock(l.Clock), l.What, roughMass(m.Left, q.System).Format(q.System)})
	}
	if len(line) < 2 {
		return nil
	}
	p.X = picture.TimeAxis(texts.Text("pic.time"), line[0].X, last, q.zone)
	p.Lines = []picture.Line{{Points: line, Pattern: "curve", Label: texts.Text("box.left")}}
	p.Bands = []picture.Band{{Low: low, High: high, Label: texts.Text("pic.band")}}
	out.SVG = p.SVG()
	return out
}

// momentMark is how what happened to a box is marked.
func momentMark(b entry.Body) (picture.Shape, string, bool) {
	switch b.(type) {
	case *entry.Filled:
		return picture.Up, texts.Text("pic.fill"), true
	case *entry.Drained:
		return picture.Down, texts.Text("pic.drain"), true
	case *entry.LevelRead:
		return picture.Round, texts.Text("pic.level"), true
	}
	return 0, "", false
}
