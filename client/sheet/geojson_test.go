package sheet_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/units"

	"pgregory.net/rapid"
)

func TestGroundComesBackFromGeoJSON(t *testing.T) {
	s := newStory(t, false)
	var out bytes.Buffer
	without, err := s.sheet("2026-09-14", "2026-09-15", units.US).GeoJSON(&out)
	if err != nil || len(without) != 1 || without[0] != "mill bottom" {
		t.Fatalf("left out %v, %v; want mill bottom, which has no boundary", without, err)
	}
	golden(t, "ground.geojson", out.Bytes())
	pieces, err := sheet.ReadGeoJSON(out.Bytes())
	if err != nil || len(pieces) != 1 || pieces[0].Name != "bench" || !sameRing(pieces[0].Rings[0], benchRing) {
		t.Errorf("read %+v, %v; want the bench as it was set", pieces, err)
	}
}

// sameRing says whether two rings have the same corners in the same order,
// from whichever they begin.
func sameRing(a, b entry.Ring) bool {
	for shift := 0; shift < len(b) && len(a) == len(b); shift += 2 {
		turned := append(append(entry.Ring{}, b[shift:]...), b[:shift]...)
		same := true
		for i := range a {
			same = same && a[i] == turned[i]
		}
		if same {
			return true
		}
	}
	return false
}

// TestReadsPolygonsOfTheStandard reads the polygons that RFC 7946, appendix
// A.3, gives as examples.
func TestReadsPolygonsOfTheStandard(t *testing.T) {
	plain := `{"type": "Polygon", "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]]}`
	holed := `{"type": "Polygon", "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
		[[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]]]}`
	whole, err := sheet.ReadGeoJSON([]byte(plain))
	if err != nil {
		t.Fatal(err)
	}
	with, err := sheet.ReadGeoJSON([]byte(`{"type":"Feature","properties":{"name":7},"geometry":` + holed + `}`))
	if err != nil {
		t.Fatal(err)
	}
	// The hole is 0.6 by 0.6 degrees of one by one, nearly.
	if part := float64(with[0].Area) / float64(whole[0].Area); part < 0.639 || part > 0.641 || len(with[0].Rings) != 2 || with[0].Name != "" {
		t.Errorf("with its hole the piece is %.4f of the whole, in %d rings, called %q", part, len(with[0].Rings), with[0].Name)
	}
}

func TestGeoJSONSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{`nonsense`, "invalid character"},
		{`{"type":"Point","coordinates":[1,2]}`, "no polygon"},
		{`{"type":"Cube","coordinates":[]}`, `unknown type "Cube"`},
		{`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"bench"},"geometry":{"type":"Polygon","coordinates":[[[0,0],[1,1]]]}}]}`,
			`feature 1 ("bench"): ring 1 has 2 positions`},
		{`{"type":"Polygon","coordinates":[[[0,0],[0,95],[1,1],[0,0]]]}`, "position 2"},
		{`{"type":"Polygon","coordinates":[[[0,0],[0.001,0],[0.001,0.001],[0,0.001]]]}`, "last point"},
		{`{"type":"Polygon","coordinates":[[[0,0],[0.002,0.002],[0.002,0],[0,0.001],[0,0]]]}`, "cross"},
		{`{"type":"MultiPolygon","coordinates":[[],[]]}`, "2 separate polygons"},
		{`{"type":"GeometryCollection","geometries":[]}`, "feature of its own"},
	} {
		if _, err := sheet.ReadGeoJSON([]byte(c.text)); !errors.Is(err, sheet.ErrGeoJSON) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want ErrGeoJSON with %q", c.text, err, c.want)
		}
	}
}

// TestGeoJSONRunsAsTheStandardSays: RFC 7946, 3.1.6: the outer ring against the
// clock, closed by its first position, whichever way round it was set.
func TestGeoJSONRunsAsTheStandardSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Int64Range(-1_790_000_000, 1_790_000_000).Draw(t, "lon"), rapid.Int64Range(-840_000_000, 840_000_000).Draw(t, "lat")
		w, h := rapid.Int64Range(1000, 90_000).Draw(t, "w"), rapid.Int64Range(1000, 90_000).Draw(t, "h")
		ring := entry.Ring{x, y, x + w, y, x + w, y + h, x, y + h}
		if rapid.Bool().Draw(t, "with the clock") {
			ring = entry.Ring{x, y, x, y + h, x + w, y + h, x + w, y}
		}
		c := newCrew(t)
		c.Write(0, &entry.GroundSet{Name: entry.Some("p"), Boundary: []entry.Ring{ring}})
		var out bytes.Buffer
		if _, err := c.sheet("2026-09-14", "2026-09-14", units.US).GeoJSON(&out); err != nil {
			t.Fatal(err)
		}
		var got struct {
			Features []struct {
				Geometry struct{ Coordinates [][][2]float64 }
			}
		}
		if err := json.Unmarshal(out.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		corners := got.Features[0].Geometry.Coordinates[0]
		if corners[0] != corners[len(corners)-1] || twiceArea(corners) <= 0 {
			t.Errorf("corners %v do not run against the clock and close", corners)
		}
		pieces, err := sheet.ReadGeoJSON(out.Bytes())
		if err != nil || !sameRing(pieces[0].Rings[0], entry.Ring{x, y, x + w, y, x + w, y + h, x, y + h}) {
			t.Errorf("read back %v, %v", pieces, err)
		}
	})
}

func twiceArea(corners [][2]float64) (sum float64) {
	o := corners[0]
	for i := range corners[1:] {
		a, b := corners[i], corners[i+1]
		sum += (a[0]-o[0])*(b[1]-o[1]) - (b[0]-o[0])*(a[1]-o[1])
	}
	return sum
}
