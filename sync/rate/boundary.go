package rate

import "strconv"

// Bounds of a boundary.
const (
	// mostPoints keeps the search for crossing sides, which looks at every
	// pair, under a second on a phone.
	mostPoints = 5000
	// widestPiece is a degree, some 100 km: beyond it a side is no straight
	// line any more, and a boundary that goes around the date line looks like
	// one.
	widestPiece = 10_000_000
	// furthestNorth is 85 degrees: the projection is cramped beyond it.
	furthestNorth = 850_000_000
	halfTurn      = 1_800_000_000
)

// checkRings refuses rings that enclose no one area: none at all, one with
// fewer than four points or not closed, too many points, a point off the map,
// a piece wider than a degree, sides that cross, a hole outside the boundary.
func checkRings(rings [][]Point) error {
	if len(rings) == 0 {
		return refuse("number of boundary rings", 0, "1 or more")
	}
	total := 0
	for i, ring := range rings {
		total += len(ring)
		if err := checkRing(ringName(i), ring, rings[0]); err != nil {
			return err
		}
	}
	if total > mostPoints {
		return refuse("number of boundary points", total, "no more than %d", mostPoints)
	}
	return checkCrossings(rings)
}

func ringName(i int) string {
	if i == 0 {
		return "the boundary"
	}
	return "hole " + strconv.Itoa(i)
}

func checkRing(name string, ring, boundary []Point) error {
	if len(ring) < 4 {
		return refuse("number of points of "+name, len(ring), "4 or more, the last being the first")
	}
	if last := ring[len(ring)-1]; last != ring[0] {
		return refuse("last point of "+name, last, "its first, %v", ring[0])
	}
	for _, p := range ring {
		switch {
		case p.Lon < -halfTurn || p.Lon > halfTurn:
			return refuse("longitude in "+name, p, "from -180 to 180 degrees")
		case p.Lat < -furthestNorth || p.Lat > furthestNorth:
			return refuse("latitude in "+name, p, "from -85 to 85 degrees")
		case apart(p.Lon, boundary[0].Lon) > widestPiece || apart(p.Lat, boundary[0].Lat) > widestPiece:
			return refuse("point of "+name, p, "within 1 degree of the boundary's first point, %v", boundary[0])
		}
	}
	return nil
}

// String gives a point in degrees, longitude first.
func (p Point) String() string {
	degrees := func(v int64) string { return strconv.FormatFloat(float64(v)/1e7, 'f', -1, 64) }
	return degrees(p.Lon) + "," + degrees(p.Lat)
}

func apart(a, b int64) int64 { return max(a-b, b-a) }

// side is one side of a ring.
type side struct {
	ring, index int
	from, to    Point
}

// checkCrossings refuses sides that cross and holes that lie outside.
func checkCrossings(rings [][]Point) error {
	var sides []side
	for r, ring := range rings {
		for i := range ring[1:] {
			sides = append(sides, side{r, i, ring[i], ring[i+1]})
		}
	}
	for i, a := range sides {
		for _, b := range sides[i+1:] {
			if a.crosses(b) {
				return refuse("side "+a.String(), "crosses side "+b.String(), "clear of every other side")
			}
		}
	}
	for i, hole := range rings[1:] {
		if !within(hole[0], rings[0]) {
			return refuse("first point of "+ringName(i+1), hole[0], "inside the boundary")
		}
	}
	return nil
}

// String names a side by its place.
func (s side) String() string { return strconv.Itoa(s.index+1) + " of " + ringName(s.ring) }

// crosses says whether two sides cross at a point inside both.
func (s side) crosses(o side) bool {
	return turn(s.from, s.to, o.from)*turn(s.from, s.to, o.to) < 0 &&
		turn(o.from, o.to, s.from)*turn(o.from, o.to, s.to) < 0
}

// turn is 1 where c lies left of the way from a to b, -1 right of it, 0 on it.
// Within a few degrees the products stay far below 64 bits.
func turn(a, b, c Point) int {
	area := (b.Lon-a.Lon)*(c.Lat-a.Lat) - (b.Lat-a.Lat)*(c.Lon-a.Lon)
	switch {
	case area > 0:
		return 1
	case area < 0:
		return -1
	}
	return 0
}

// within says whether a point lies inside or on a ring, by counting the sides
// east of it.
func within(p Point, ring []Point) bool {
	inside := false
	for i := range ring[1:] {
		a, b := ring[i], ring[i+1]
		if turn(a, b, p) == 0 && min(a.Lon, b.Lon) <= p.Lon && p.Lon <= max(a.Lon, b.Lon) &&
			min(a.Lat, b.Lat) <= p.Lat && p.Lat <= max(a.Lat, b.Lat) {
			return true
		}
		if a.Lat > b.Lat {
			a, b = b, a
		}
		if a.Lat <= p.Lat && p.Lat < b.Lat && turn(a, b, p) > 0 {
			inside = !inside
		}
	}
	return inside
}
