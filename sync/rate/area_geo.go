package rate

import (
	"math"

	"turnrow/sync/units"
)

// Point is a position on the ground in ten-millionths of a degree (about a
// centimetre) of the World Geodetic System 1984, longitude east and latitude
// north, in the order in which GeoJSON writes them.
type Point struct {
	Lon, Lat int64
}

// The ellipsoid of the World Geodetic System 1984 (NIMA TR8350.2).
const (
	equator    = 6378137.0 // equatorial radius in metres
	flattening = 1 / 298.257223563
	eccentric2 = flattening * (2 - flattening) // eccentricity squared
)

// radian is a ten-millionth of a degree in radians.
const radian = math.Pi / 180e7

// PieceArea returns the area of a piece of ground from the rings of a GeoJSON
// polygon (RFC 7946, 3.1.6): the boundary first, holes after it, each closed
// by its first point. The points go through Lambert's cylindrical equal-area
// projection of the ellipsoid (Snyder, Map Projections: A Working Manual, USGS
// Professional Paper 1395, 1987, equations 3-12, 10-14 and 10-15) and the area
// is the shoelace sum, rounded to a square centimetre. Sides are straight in
// that projection: for a field the area is within 0.01 % of that between
// geodesics. It fails with a *RangeError for rings that checkRings refuses.
func PieceArea(rings [][]Point) (units.Area, error) {
	if err := checkRings(rings); err != nil {
		return 0, err
	}
	total := ringArea(rings[0])
	for _, hole := range rings[1:] {
		total -= ringArea(hole)
	}
	area := math.Round(total * 1e4)
	if area < 1 {
		return 0, refuse("area of the piece", units.Area(area), "1 cm2 or more")
	}
	return units.Area(area), nil
}

// ringArea returns the area inside a closed ring in m². Coordinates are taken
// from the first point on, so that the products lose no digits.
func ringArea(ring []Point) float64 {
	origin := ring[0]
	north := authalic(origin.Lat)
	twice, x0, y0 := 0.0, 0.0, 0.0
	for _, p := range ring[1:] {
		x, y := float64(p.Lon-origin.Lon)*radian, (authalic(p.Lat)-north)/2
		twice += float64(x0*y) - float64(x*y0)
		x0, y0 = x, y
	}
	return math.Abs(float64(equator * equator * twice / 2))
}

// authalic returns Snyder's q, equation 3-12, at a latitude: twice the area of
// the ellipsoid between the equator and it, for each radian of longitude and
// each square of the equatorial radius. The logarithm there is a series in the
// eccentricity, which five terms exhaust.
func authalic(latitude int64) float64 {
	s := sin(float64(latitude) * radian)
	step := float64(eccentric2 * float64(s*s))
	series := polynomial(step, 1, 1.0/3, 1.0/5, 1.0/7, 1.0/9, 1.0/11, 1.0/13)
	return float64((1 - eccentric2) * s * (1/(1-step) + series))
}
