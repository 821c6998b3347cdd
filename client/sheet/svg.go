package sheet

import (
	"fmt"
	"html"
	"html/template"
	"strconv"
	"strings"
)

// millimetres to a point of type.
const mmPerPoint = 25.4 / 72

// SVG is the picture as an element for a page of HTML. Every text in it is
// escaped.
func (p *Picture) SVG() template.HTML {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %s %s" role="img" aria-label="%s" width="%smm" height="%smm">`,
		digits(p.width), digits(p.height), html.EscapeString(p.Title), digits(p.width), digits(p.height))
	for i := range p.strokes {
		p.strokes[i].svg(&b)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String()) // made of numbers and escaped text only
}

func (s *stroke) svg(b *strings.Builder) {
	colour := fmt.Sprintf("rgb(%d,%d,%d)", s.pen.r, s.pen.g, s.pen.b)
	if s.words != "" {
		fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" text-anchor="%s" fill="%s">%s</text>`,
			digits(s.points[0].x), digits(s.points[0].y), digits(s.size*mmPerPoint), [...]string{"start", "middle", "end"}[s.anchor],
			colour, html.EscapeString(s.words))
		return
	}
	corners := make([]string, len(s.points))
	for i, c := range s.points {
		corners[i] = digits(c.x) + "," + digits(c.y)
	}
	path := strings.Join(corners, " ")
	if s.filled {
		fmt.Fprintf(b, `<polygon points="%s" fill="%s"/>`, path, colour)
		return
	}
	fmt.Fprintf(b, `<polyline points="%s" fill="none" stroke="%s" stroke-width="%s"/>`, path, colour, digits(s.pen.width))
}

// digits writes a measure in hundredths of a millimetre.
func digits(x float64) string {
	text := strconv.FormatFloat(x, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}
