package sheet

import "codeberg.org/go-pdf/fpdf"

// pictures sets a section's pictures, side by side where they find room.
func (p *press) pictures(list []*Picture) {
	x, tallest := marginSide, 0.0
	for _, pic := range list {
		scale := min(1, p.room()/pic.width)
		if x > marginSide && x+pic.width*scale > p.width-marginSide {
			p.y, x, tallest = p.y+tallest, marginSide, 0
		}
		if height := pic.height*scale + lineHeight(bodySize) + 4; p.y+height > p.bottom() {
			p.page()
			x, tallest = marginSide, 0
		}
		p.font("B", bodySize)
		p.put(x, p.y+3+bodySize*mmPerPoint, fromLeft, p.letters.known(pic.Title))
		top := p.y + 3 + lineHeight(bodySize)
		for i := range pic.strokes {
			p.stroke(&pic.strokes[i], x, top, scale)
		}
		tallest = max(tallest, pic.height*scale+lineHeight(bodySize)+6)
		x += pic.width*scale + 8
	}
	p.y += tallest
}

func (p *press) stroke(s *stroke, left, top, scale float64) {
	p.colour(s.pen)
	place := func(c point) fpdf.PointType { return fpdf.PointType{X: left + c.x*scale, Y: top + c.y*scale} }
	switch {
	case s.words != "":
		p.font("", s.size*scale)
		at := place(s.points[0])
		p.put(at.X, at.Y, s.anchor, p.letters.known(s.words))
	case s.filled:
		corners := make([]fpdf.PointType, len(s.points))
		for i, c := range s.points {
			corners[i] = place(c)
		}
		p.pdf.Polygon(corners, "F")
	default:
		for i := range s.points[1:] {
			a, b := place(s.points[i]), place(s.points[i+1])
			p.pdf.Line(a.X, a.Y, b.X, b.Y)
		}
	}
	p.colour(ink)
}
