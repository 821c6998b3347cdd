package sheet

import (
	"math"

	"turnrow/sync/units"
)

// The rates' picture: a row for each seed, its aim in the middle.
const (
	rowHeight   = 7.0
	nameWidth   = 38.0
	chartWidth  = 64.0
	figureWidth = 28.0
	headHeight  = 6.0
	// widestOff is the least that the scale shows either side of the aim, so
	// that a small departure looks small.
	widestOff = 0.25
	// furthestOff is the most: what lies further is drawn at the edge.
	furthestOff = 1.0
)

// rateBar is one row of the rates' picture.
type rateBar struct {
	name, figure   string
	off, low, high float64 // as fractions of the aim
}

// rateAgainstAim draws what went onto a piece of ground against its plan, with
// the interval that holds the truth 9 times in 10; nil where nothing was
// planned and sown.
func (s *Sheet) rateAgainstAim(list []sown) *Picture {
	var bars []rateBar
	reach := widestOff
	for i := range list {
		if b, ok := s.rateBar(i, list); ok {
			bars = append(bars, b)
			reach = math.Max(reach, math.Min(furthestOff, math.Max(math.Abs(b.low), math.Abs(b.high))))
		}
	}
	if len(bars) == 0 {
		return nil
	}
	p := &Picture{Title: "Rate against aim", width: nameWidth + chartWidth + figureWidth, height: headHeight + float64(len(bars))*rowHeight + 4}
	drawScale(p, reach, len(bars))
	for i, b := range bars {
		drawBar(p, b, reach, headHeight+float64(i)*rowHeight)
	}
	return p
}

// rateBar is the bar of a seed: one for each species through a box.
func (s *Sheet) rateBar(i int, list []sown) (rateBar, bool) {
	o := &list[i]
	name := s.species(o.lot)
	if name == "" {
		name = s.view.NameOf(o.lot)
	}
	for _, before := range list[:i] {
		if before.box == o.box && s.species(before.lot) == name {
			return rateBar{}, false
		}
	}
	r := s.together(o, list)
	if r.aim <= 0 || !r.known {
		return rateBar{}, false
	}
	off := func(x units.RatePerArea) float64 { return float64(x-r.aim) / float64(r.aim) }
	return rateBar{name + " (" + s.view.NameOf(o.box) + ")", r.rate.Format(s.System) + " for " + r.aim.Format(s.System),
		off(r.rate), off(r.low), off(r.high)}, true
}

// at is where a departure from the aim lies across the picture.
func at(off, reach float64) float64 {
	off = math.Max(-reach, math.Min(reach, off))
	return nameWidth + chartWidth/2 + off/reach*(chartWidth/2-4)
}

func drawScale(p *Picture, reach float64, rows int) {
	bottom := headHeight + float64(rows)*rowHeight
	step := scaleStep(reach)
	for off := -math.Floor(reach/step) * step; off <= reach+step/100; off += step {
		x, pen, label := at(off, reach), faint, plain(off*100, 0)+" %"
		if off > step/2 {
			label = "+" + label
		}
		if math.Abs(off) < step/2 {
			pen, label = aimPen, "aim"
		}
		p.line(pen, point{x, headHeight}, point{x, bottom})
		p.write(x, headHeight-2, 7, centred, label)
	}
}

// scaleStep is a round step that leaves room for the figures on the scale.
func scaleStep(reach float64) float64 {
	const most = 3 // either side of the aim
	for _, step := range []float64{0.1, 0.2, 0.25} {
		if reach <= most*step+step/2 {
			return step
		}
	}
	return 0.5
}

func drawBar(p *Picture, b rateBar, reach, top float64) {
	const tall, dot = 1.2, 1.1
	y := top + rowHeight/2
	x, low, high := at(b.off, reach), at(b.low, reach), at(b.high, reach)
	p.write(0, y+1.2, 8, fromLeft, fit(b.name, 26))
	p.line(ratePen, point{low, y}, point{high, y})
	p.line(ratePen, point{low, y - tall}, point{low, y + tall})
	p.line(ratePen, point{high, y - tall}, point{high, y + tall})
	p.box(ratePen, x-dot, y-dot, 2*dot, 2*dot)
	p.write(p.width, y+1.2, 7, fromRight, b.figure)
}

// fit cuts a text that is too long for its place, and shows that it did.
func fit(text string, most int) string {
	r := []rune(text)
	if len(r) <= most {
		return text
	}
	return string(r[:most-1]) + "…"
}
