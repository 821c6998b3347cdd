// Package picture draws the page's pictures as SVG: plots of a curve, a band
// and marks over two axes, and a calendar of bars. It knows numbers and words
// and nothing of seed.
//
// A picture is made for a narrow screen and grows with a wide one. Marks have
// shapes of their own and lines patterns of their own, so that none is told by
// colour alone; each picture carries a title and a description for who cannot
// see it. Colours and widths come from the page's style sheet, by class.
package picture

import (
	"fmt"
	"html/template"
	"math"
)

// XY is a point in the axes' own units.
type XY struct{ X, Y float64 }

// Axis is one axis of a plot.
type Axis struct {
	Name string
	// Low and High are what must be shown; the axis may go further.
	Low, High float64
	// Ticks are where the axis is marked; none: at round numbers.
	Ticks []float64
	// Write writes a tick; nil: as a plain number.
	Write func(float64) string
}

// Line is a line through points. Pattern names its class in the style sheet.
type Line struct {
	Points  []XY
	Pattern string // such as "curve", "aim", "now"
	Label   string // for the legend; empty: none
}

// Band is what lies between two lines over the same places.
type Band struct {
	Low, High []XY
	Label     string
}

// Shape is how a mark looks.
type Shape int

// The shapes of marks.
const (
	Round Shape = iota
	Square
	Diamond
	Up
	Down
)

// Mark is a point by itself, with an interval where Low and High differ.
type Mark struct {
	At        XY
	Low, High float64
	Shape     Shape
	Label     string // for the legend: marks of one label share a line of it
}

// Plot is a picture over two axes.
type Plot struct {
	ID           string // of the picture within its view
	Title, About string
	X, Y         Axis
	Bands        []Band
	Lines        []Line
	Marks        []Mark
}

// The picture's measures, in its own unit: about a CSS pixel on a phone.
const (
	width    = 320.0
	depth    = 250.0 // of the axes' part
	left     = 44.0
	right    = 12.0
	top      = 26.0
	bottom   = 40.0
	legendAt = 25.0 // height of a line of the legend
)

// SVG draws the plot. A point that is no number is left out.
func (p Plot) SVG() template.HTML {
	x, y := p.X.fitted(5), p.Y.fitted(5)
	c := &canvas{sx: scale{x.Low, x.High, left, width - right}, sy: scale{y.Low, y.High, depth - bottom, top}}
	entries := p.legend()
	c.open(p.ID, p.Title, p.About, width, depth+legendAt*float64(len(entries)))
	for _, b := range p.Bands {
		c.band(b)
	}
	c.axes(x, y)
	for _, l := range p.Lines {
		c.line(l)
	}
	for _, m := range p.Marks {
		c.mark(m)
	}
	for i, e := range entries {
		c.entry(e, depth+legendAt*(float64(i)+0.5))
	}
	return c.close()
}

// legendEntry is one line of the legend.
type legendEntry struct {
	label   string
	pattern string // of a line; "band" for a band; empty for a mark
	shape   Shape
}

func (p Plot) legend() (out []legendEntry) {
	seen := map[string]bool{"": true}
	add := func(e legendEntry) {
		if !seen[e.label] {
			seen[e.label] = true
			out = append(out, e)
		}
	}
	for _, l := range p.Lines {
		add(legendEntry{label: l.Label, pattern: l.Pattern})
	}
	for _, b := range p.Bands {
		add(legendEntry{label: b.Label, pattern: "band"})
	}
	for _, m := range p.Marks {
		add(legendEntry{label: m.Label, shape: m.Shape})
	}
	return out
}

// scale maps an axis onto the picture.
type scale struct{ low, high, from, to float64 }

func (s scale) at(v float64) float64 {
	if s.high == s.low {
		return (s.from + s.to) / 2
	}
	return s.from + (v-s.low)/(s.high-s.low)*(s.to-s.from)
}

// within says whether a value lies on the axis.
func (s scale) within(v float64) bool { return v >= s.low && v <= s.high }

// inside keeps a bound of an interval on the axis.
func (s scale) inside(v float64) float64 { return math.Max(s.low, math.Min(s.high, v)) }

// number writes a coordinate to a tenth of a pixel.
func number(v float64) string { return fmt.Sprintf("%.1f", v) }
