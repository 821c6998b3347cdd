package sheet

// Picture is a simple drawing in millimetres from its upper left corner: lines,
// boxes, areas and words. The writers draw the same one, each in its own way.
type Picture struct {
	Title         string // what it shows, for who cannot see it
	width, height float64
	strokes       []stroke
}

// stroke is one thing in a picture: a line or an area through points, or words
// at the first of them.
type stroke struct {
	points []point
	pen    pen
	filled bool
	words  string
	size   float64 // of words, in points
	anchor anchor
}

type point struct{ x, y float64 }

// anchor says on which side of its point words stand.
type anchor int

const (
	fromLeft anchor = iota
	centred
	fromRight
)

// pen is a colour, as red, green and blue, and a width in millimetres.
type pen struct {
	r, g, b int
	width   float64
}

// The pens that pictures are drawn with. They differ in lightness as well, so
// that a printer without colour keeps them apart.
var (
	ink     = pen{30, 30, 30, 0.3}
	faint   = pen{190, 190, 190, 0.2}
	aimPen  = pen{178, 74, 18, 0.7}
	ratePen = pen{22, 82, 125, 0.9}
	earth   = pen{228, 235, 214, 0.3}
)

func (p *Picture) line(pen pen, points ...point) {
	p.strokes = append(p.strokes, stroke{points: points, pen: pen})
}

func (p *Picture) fill(pen pen, points ...point) {
	p.strokes = append(p.strokes, stroke{points: points, pen: pen, filled: true})
}

func (p *Picture) box(pen pen, x, y, w, h float64) {
	p.fill(pen, point{x, y}, point{x + w, y}, point{x + w, y + h}, point{x, y + h})
}

func (p *Picture) write(x, y, size float64, a anchor, text string) {
	p.strokes = append(p.strokes, stroke{points: []point{{x, y}}, pen: ink, words: text, size: size, anchor: a})
}
