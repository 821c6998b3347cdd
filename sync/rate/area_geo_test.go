package rate

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"turnrow/sync/units"
)

// degreesRing makes a closed ring of longitude, latitude pairs in degrees.
func degreesRing(pairs ...float64) []Point {
	var ring []Point
	for i := 0; i < len(pairs); i += 2 {
		ring = append(ring, Point{Lon: int64(math.Round(pairs[i] * 1e7)), Lat: int64(math.Round(pairs[i+1] * 1e7))})
	}
	return append(ring, ring[0])
}

// The whole ellipsoid has 510,065,621.7 km², and its quarter meridian bounds a
// hemisphere (WGS84's authalic radius of 6,371,007.181 m: NIMA TR8350.2).
func TestAreaOfTheWholeEarth(t *testing.T) {
	radius2 := equator * equator * authalic(900_000_000) / 2
	agree(t, "authalic radius", math.Sqrt(radius2), 6371007.1809, 1e-10)
}

// Referee: Snyder's equation 3-12 as it is written, with package math.
func TestAuthalicSeries(t *testing.T) {
	e := math.Sqrt(eccentric2)
	for latitude := int64(-900_000_000); latitude <= 900_000_000; latitude += 7_654_321 {
		s := math.Sin(float64(latitude) * radian)
		want := (1 - eccentric2) * (s/(1-eccentric2*s*s) - math.Log((1-e*s)/(1+e*s))/(2*e))
		agree(t, "q", authalic(latitude), want, 1e-12)
	}
}

// A hundredth of a degree each way at 45° north: 1,111.3 m by 788.5 m. Lengths
// of a degree there: 111,132 m and 78,847 m (Snyder, table of the Clarke 1866
// and WGS ellipsoids; from memory).
func TestAreaOfARectangle(t *testing.T) {
	ring := degreesRing(-90, 44.995, -89.99, 44.995, -89.99, 45.005, -90, 45.005)
	a, err := PieceArea([][]Point{ring})
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "area", a.SquareMetres(), 1111.32*788.47, 1e-4)
}

// Area does not depend on the direction or the first point of a ring, and a
// hole takes its own area away.
func TestRingsAndHoles(t *testing.T) {
	outer := degreesRing(10, 50, 10.01, 50, 10.01, 50.01, 10, 50.01)
	hole := degreesRing(10.002, 50.002, 10.004, 50.002, 10.004, 50.004, 10.002, 50.004)
	area := func(rings ...[]Point) units.Area {
		t.Helper()
		a, err := PieceArea(rings)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	whole := area(outer)
	if with := area(outer, hole); math.Abs(float64(whole-with-area(hole))) > 1 {
		t.Errorf("with the hole %v, whole %v, hole %v", with, whole, area(hole))
	}
	back := []Point{outer[2], outer[1], outer[0], outer[3], outer[2]}
	if math.Abs(float64(area(back)-whole)) > 1 {
		t.Errorf("backwards from another corner: %v, want %v", area(back), whole)
	}
}

func TestBoundariesThatAreRefused(t *testing.T) {
	square := degreesRing(10, 50, 10.01, 50, 10.01, 50.01, 10, 50.01)
	cases := map[string][][]Point{
		"number of boundary rings 0: it must be 1 or more":                                             nil,
		"number of points of the boundary 3: it must be 4 or more, the last being the first":           {degreesRing(10, 50, 11, 51)},
		"last point of the boundary 10,50.01: it must be its first, 10,50":                             {square[:4]},
		"longitude in the boundary 190,50: it must be from -180 to 180 degrees":                        {degreesRing(190, 50, 191, 50, 191, 51)},
		"latitude in the boundary 10,86: it must be from -85 to 85 degrees":                            {degreesRing(10, 86, 11, 86, 11, 87)},
		"point of the boundary 12,50: it must be within 1 degree of the boundary's first point, 10,50": {degreesRing(10, 50, 12, 50, 12, 51)},
		"side 1 of the boundary crosses side 3 of the boundary: it must be clear of every other side":  {degreesRing(10, 50, 10.01, 50.01, 10.01, 50, 10, 50.01)},
		"area of the piece 0 m2: it must be 1 cm2 or more":                                             {degreesRing(10, 50, 10.01, 50, 10.02, 50)},
		"first point of hole 1 10.02,50.02: it must be inside the boundary":                            {square, degreesRing(10.02, 50.02, 10.03, 50.02, 10.03, 50.03)},
		"side 2 of the boundary crosses side 1 of hole 1: it must be clear of every other side":        {square, degreesRing(10.002, 50.002, 10.02, 50.002, 10.02, 50.003)},
		"number of boundary points 5002: it must be no more than 5000":                                 {manyPoints(5001)},
	}
	for want, rings := range cases {
		if _, err := PieceArea(rings); !errors.Is(err, units.ErrRange) || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

func manyPoints(n int) []Point {
	ring := make([]Point, n)
	for i := range ring {
		ring[i] = Point{Lon: int64(i), Lat: int64(i * i % 1000)}
	}
	return append(ring, ring[0])
}

// fields are star-shaped pieces of 20 to 1,500 m across at latitudes from the
// tropics to the far north and south.
func fields(n int) [][]Point {
	source := rand.New(rand.NewPCG(60, 61))
	all := make([][]Point, n)
	for i := range all {
		lat, lon := 140*source.Float64()-70, 358*source.Float64()-179
		size := 10 * math.Pow(75, source.Float64()) // metres
		corners := 3 + source.IntN(20)
		var pairs []float64
		for k := range corners {
			angle := 2 * math.Pi * (float64(k) + 0.8*source.Float64()) / float64(corners)
			r := size * (0.4 + 0.6*source.Float64()) / 111_000
			pairs = append(pairs, lon+r*math.Cos(angle)/math.Cos(lat*math.Pi/180), lat+r*math.Sin(angle))
		}
		all[i] = degreesRing(pairs...)
	}
	return all
}

// geodesicAreas asks npm's geographiclib-geodesic (Karney, "Algorithms for
// geodesics", Journal of Geodesy 87, 2013) for the areas in m².
func geodesicAreas(t *testing.T, rings [][]Point) []float64 {
	t.Helper()
	const script = `
const g = require('geographiclib-geodesic').Geodesic.WGS84;
const rings = JSON.parse(require('fs').readFileSync(0));
console.log(JSON.stringify(rings.map(ring => {
  const p = g.Polygon(false);
  for (const q of ring.slice(1)) p.AddPoint(q.Lat / 1e7, q.Lon / 1e7);
  return Math.abs(p.Compute(false, true).area);
})));`
	if runtime.GOOS == "js" {
		t.Skip("no program can be started here to referee the area")
	}
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("node is not installed: it runs the library that referees the area")
	}
	input, err := json.Marshal(rings)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(node, "-e", script)
	cmd.Env = append(os.Environ(), "NODE_PATH="+nodePath())
	cmd.Stdin = strings.NewReader(string(input))
	out, err := cmd.Output()
	var failed *exec.ExitError
	if errors.As(err, &failed) && strings.Contains(string(failed.Stderr), "Cannot find module") {
		t.Skipf("npm's geographiclib-geodesic, which referees the area, is in none of %s", nodePath())
	}
	if err != nil {
		t.Fatalf("node: %v", err)
	}
	var areas []float64
	if err := json.Unmarshal(out, &areas); err != nil {
		t.Fatal(err)
	}
	return areas
}

// nodePath is where node looks for the library: NODE_PATH, and where the
// project's checks install their tools.
func nodePath() string {
	tools := os.Getenv("TURNROW_TOOLS")
	if cache, err := os.UserCacheDir(); tools == "" && err == nil {
		tools = filepath.Join(cache, "turnrow-tools")
	}
	return os.Getenv("NODE_PATH") + string(os.PathListSeparator) + filepath.Join(tools, "npm", "node_modules")
}

// A field's area is within 0.01 % of the area between geodesics.
func TestAreaAgainstGeodesics(t *testing.T) {
	rings := fields(300)
	worst := 0.0
	for i, want := range geodesicAreas(t, rings) {
		got, err := PieceArea([][]Point{rings[i]})
		if err != nil {
			t.Fatalf("field %d %v: %v", i, rings[i], err)
		}
		agree(t, "area", got.SquareMetres(), want, 1e-4)
		worst = math.Max(worst, math.Abs(got.SquareMetres()/want-1))
	}
	t.Logf("worst of %d fields: %.2g", len(rings), worst)
}

func FuzzPieceArea(f *testing.F) {
	f.Add([]byte("0000000000000000"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var ring []Point
		for i := 0; i+1 < len(data) && i < 200; i += 2 {
			ring = append(ring, Point{Lon: int64(data[i]) * 1000, Lat: int64(data[i+1]) * 1000})
		}
		if len(ring) > 0 {
			ring = append(ring, ring[0])
		}
		if a, err := PieceArea([][]Point{ring}); err == nil && a <= 0 {
			t.Errorf("area %v", a)
		}
	})
}
