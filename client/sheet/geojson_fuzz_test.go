package sheet_test

import (
	"errors"
	"testing"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
)

// FuzzReadGeoJSON reads whatever text as pieces of ground: nothing panics, what
// is none gives ErrGeoJSON, and a piece can be put on the record.
func FuzzReadGeoJSON(f *testing.F) {
	f.Add([]byte(`{"type":"Polygon","coordinates":[[[-77,40],[-77,40.001],[-76.999,40.001],[-77,40]]]}`))
	f.Add([]byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Bench"},"geometry":
		{"type":"MultiPolygon","coordinates":[[[[-77,40,200],[-77,40.001],[-76.999,40.001],[-77,40]]]]}},{"type":"Feature","geometry":null}]}`))
	f.Add([]byte(`{"type":"GeometryCollection","geometries":[]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		pieces, err := sheet.ReadGeoJSON(text)
		if err != nil {
			if !errors.Is(err, sheet.ErrGeoJSON) {
				t.Fatal(err)
			}
			return
		}
		for _, p := range pieces {
			b := &entry.GroundSet{Name: entry.Some("Bench"), Boundary: p.Rings, Area: entry.Some(p.Area)}
			if err := b.Check(); err != nil {
				t.Errorf("a piece that was taken: %v", err)
			}
		}
	})
}
