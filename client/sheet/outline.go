package sheet

import (
	"math"

	"turnrow/sync/farm"
	"turnrow/sync/rate"
)

// The outline of a piece of ground, as large as it fits.
const (
	outlineWidth  = 42.0
	outlineHeight = 36.0
)

// outline draws a piece's boundary with north up, and a bar for its scale; nil
// where no boundary is set.
func (s *Sheet) outline(g *farm.Ground) *Picture {
	rings, err := farm.Rings(g.Boundary)
	if err != nil || len(rings) == 0 {
		return nil
	}
	m := newMap(rings[0])
	p := &Picture{Title: "Outline of " + g.Name, width: outlineWidth, height: outlineHeight + 8}
	for i, ring := range rings {
		corners := make([]point, len(ring))
		for n, c := range ring {
			corners[n] = m.place(c)
		}
		pen := earth
		if i > 0 {
			pen.r, pen.g, pen.b = 255, 255, 255 // a hole
		}
		p.fill(pen, corners...)
		p.line(ink, corners...)
	}
	m.scaleBar(p, s)
	return p
}

// fieldMap places corners on paper. A piece of ground is small enough for
// longitude to be drawn at one scale.
type fieldMap struct {
	west, north, east, south float64 // metres
	scale                    float64 // millimetres to the metre
	narrow                   float64 // a degree of longitude against one of latitude
}

// metres to a ten-millionth of a degree of latitude, nearly: good for drawing,
// not for areas.
const metresPerStep = 40_008_000.0 / 360 / 1e7

func newMap(ring []rate.Point) *fieldMap {
	m := &fieldMap{narrow: math.Cos(float64(ring[0].Lat) / 1e7 * math.Pi / 180)}
	m.west, m.south, m.east, m.north = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range ring {
		x, y := m.metres(c)
		m.west, m.east = math.Min(m.west, x), math.Max(m.east, x)
		m.south, m.north = math.Min(m.south, y), math.Max(m.north, y)
	}
	m.scale = math.Min(outlineWidth/math.Max(1, m.east-m.west), outlineHeight/math.Max(1, m.north-m.south))
	return m
}

func (m *fieldMap) metres(c rate.Point) (x, y float64) {
	return float64(c.Lon) * metresPerStep * m.narrow, float64(c.Lat) * metresPerStep
}

func (m *fieldMap) place(c rate.Point) point {
	x, y := m.metres(c)
	return hundredths(point{(x - m.west) * m.scale, (m.north - y) * m.scale})
}

// hundredths rounds a point, so that the last digits of a cosine, which
// processors may differ in, never reach the paper.
func hundredths(p point) point {
	return point{math.Round(p.x*100) / 100, math.Round(p.y*100) / 100}
}

// scaleBar draws the longest round length that takes no more than half of the
// width.
func (m *fieldMap) scaleBar(p *Picture, s *Sheet) {
	unit, name := 0.3048, " ft"
	if s.System != 0 {
		unit, name = 1, " m"
	}
	long := 10.0
	for _, step := range []float64{20, 50, 100, 200, 500, 1000, 2000, 5000} {
		if step*unit*m.scale <= outlineWidth/2 {
			long = step
		}
	}
	y := outlineHeight + 4
	p.line(ink, point{0, y}, hundredths(point{long * unit * m.scale, y}))
	p.write(0, y+3.5, 7, fromLeft, plain(long, 0)+name+", north up")
}
