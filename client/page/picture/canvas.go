package picture

import (
	"fmt"
	"html/template"
	"math"
	"strings"
)

// canvas writes a picture.
type canvas struct {
	b      strings.Builder
	sx, sy scale
}

func (c *canvas) printf(format string, args ...any) { fmt.Fprintf(&c.b, format, args...) }

var escape = template.HTMLEscapeString

func (c *canvas) open(id, title, about string, w, h float64) {
	c.printf(`<svg class="pic" viewBox="0 0 %s %s" role="img" aria-labelledby="%[3]s-t %[3]s-d"><title id="%[3]s-t">%[4]s</title><desc id="%[3]s-d">%[5]s</desc>`,
		number(w), number(h), escape(id), escape(title), escape(about))
}

func (c *canvas) close() template.HTML {
	c.b.WriteString("</svg>")
	return template.HTML(c.b.String()) // every text in it went through escape
}

func (c *canvas) text(x, y float64, anchor, text string) {
	c.printf(`<text x="%s" y="%s" text-anchor="%s">%s</text>`, number(x), number(y), anchor, escape(text))
}

func (c *canvas) segment(class string, x1, y1, x2, y2 float64) {
	c.printf(`<path class="%s" d="M%s %sL%s %s"/>`, class, number(x1), number(y1), number(x2), number(y2))
}

// axes draws the frame, the ticks and their numbers.
func (c *canvas) axes(x, y Axis) {
	for _, v := range y.Ticks {
		at := c.sy.at(v)
		c.segment("grid", left, at, width-right, at)
		c.text(left-5, at+4, "end", y.Write(v))
	}
	for i, v := range x.Ticks {
		at := c.sx.at(v)
		c.segment("tick", at, depth-bottom, at, depth-bottom+5)
		anchor := "middle"
		if i == len(x.Ticks)-1 && at > width-right-14 {
			anchor = "end"
		}
		c.text(at, depth-bottom+19, anchor, x.Write(v))
	}
	c.segment("frame", left, depth-bottom, width-right, depth-bottom)
	c.segment("frame", left, top, left, depth-bottom)
	c.text(2, 13, "start", y.Name)
	c.text(width-right, depth-3, "end", x.Name)
}

// path is the points of a line that can be drawn.
func (c *canvas) path(points []XY) string {
	var b strings.Builder
	cmd := "M"
	for _, p := range points {
		if !drawable(p) || !c.sx.within(p.X) {
			continue
		}
		fmt.Fprintf(&b, "%s%s %s", cmd, number(c.sx.at(p.X)), number(c.sy.at(c.sy.inside(p.Y))))
		cmd = "L"
	}
	return b.String()
}

func drawable(p XY) bool {
	return !math.IsNaN(p.X) && !math.IsNaN(p.Y) && !math.IsInf(p.X, 0) && !math.IsInf(p.Y, 0)
}

func (c *canvas) line(l Line) {
	if d := c.path(l.Points); d != "" {
		c.printf(`<path class="%s" d="%s"/>`, escape(l.Pattern), d)
	}
}

func (c *canvas) band(b Band) {
	back := make([]XY, len(b.Low))
	for i, p := range b.Low {
		back[len(back)-1-i] = p
	}
	if d := c.path(append(append([]XY{}, b.High...), back...)); d != "" {
		c.printf(`<path class="band" d="%sZ"/>`, d)
	}
}

func (c *canvas) mark(m Mark) {
	if !drawable(m.At) || !c.sx.within(m.At.X) || !c.sy.within(m.At.Y) {
		return
	}
	x := c.sx.at(m.At.X)
	if m.Low < m.High {
		low, high := c.sy.at(c.sy.inside(m.Low)), c.sy.at(c.sy.inside(m.High))
		c.segment("interval", x, low, x, high)
		c.segment("interval", x-5, low, x+5, low)
		c.segment("interval", x-5, high, x+5, high)
	}
	c.shape(m.Shape, x, c.sy.at(m.At.Y))
}

// shape draws a mark around a place.
func (c *canvas) shape(s Shape, x, y float64) {
	var d string
	const r = 6.0
	corner := func(dx, dy float64) string { return number(x+dx) + " " + number(y+dy) }
	switch s {
	case Round:
		c.printf(`<circle class="mark" cx="%s" cy="%s" r="5.5"/>`, number(x), number(y))
		return
	case Square:
		d = "M" + corner(-r+1, -r+1) + "L" + corner(r-1, -r+1) + "L" + corner(r-1, r-1) + "L" + corner(-r+1, r-1) + "Z"
	case Diamond:
		d = "M" + corner(0, -r-1) + "L" + corner(r+1, 0) + "L" + corner(0, r+1) + "L" + corner(-r-1, 0) + "Z"
	case Up:
		d = "M" + corner(0, -r) + "L" + corner(r, r) + "L" + corner(-r, r) + "Z"
	case Down:
		d = "M" + corner(0, r) + "L" + corner(r, -r) + "L" + corner(-r, -r) + "Z"
	}
	c.printf(`<path class="mark%s" d="%s"/>`, map[bool]string{true: " hollow"}[s == Square], d)
}

// entry draws one line of the legend.
func (c *canvas) entry(e legendEntry, y float64) {
	const at, end = 6.0, 34.0
	switch e.pattern {
	case "":
		c.shape(e.shape, (at+end)/2, y)
	case "band":
		c.printf(`<path class="band" d="M%[1]s %[3]sH%[2]sV%[4]sH%[1]sZ"/>`, number(at), number(end), number(y-7), number(y+7))
	default:
		c.segment(escape(e.pattern), at, y, end, y)
	}
	c.text(end+8, y+5, "start", e.label)
}
