package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// degrees writes ten-millionths of a degree exactly.
type degrees int64

// MarshalJSON writes decimal degrees.
func (d degrees) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, float64(d)/1e7, 'f', -1, 64), nil
}

// GeoJSON writes the farm's pieces of ground that have a boundary as a feature
// collection (RFC 7946): polygons with what is set of each piece, and what went
// onto it within the span, as properties. Outer rings run against the clock and
// holes with it. It gives the names of pieces left out for want of a boundary.
func (s *Sheet) GeoJSON(w io.Writer) (without []string, err error) {
	features := []*object{}
	for i := range s.view.Grounds {
		g := &s.view.Grounds[i]
		rings, err := farm.Rings(g.Boundary)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", g.Name, err)
		}
		if len(rings) == 0 {
			without = append(without, g.Name)
			continue
		}
		features = append(features, s.feature(g, rings))
	}
	var all object
	all.put("type", "FeatureCollection")
	all.put("features", features)
	var out bytes.Buffer
	text, err := all.MarshalJSON()
	if err == nil {
		err = json.Indent(&out, text, "", " ")
	}
	if err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	_, err = w.Write(out.Bytes())
	return without, err
}

func (s *Sheet) feature(g *farm.Ground, rings [][]rate.Point) *object {
	var geometry, properties, feature object
	geometry.put("type", "Polygon")
	coordinates := make([][][2]degrees, len(rings))
	for i, ring := range rings {
		for _, c := range wound(ring, i == 0) {
			coordinates[i] = append(coordinates[i], [2]degrees{degrees(c.Lon), degrees(c.Lat)})
		}
	}
	geometry.put("coordinates", coordinates)
	properties.put("name", g.Name)
	for _, p := range s.featureProperties(g) {
		if p.value != nil && p.value != "" {
			properties.put(column{key: p.key, kind: p.kind}.program(units.US), plainValue(p.value))
		}
	}
	properties.put("sown", s.sown(s.sownOn(g.ID)).only("ground", g.Name, "").objects())
	feature.put("type", "Feature")
	feature.put("id", g.ID.String())
	feature.put("geometry", &geometry)
	feature.put("properties", &properties)
	return &feature
}

func (s *Sheet) featureProperties(g *farm.Ground) []Fact {
	return []Fact{{key: "state", value: g.State}, {key: "slope", kind: share, value: slopeOf(g)}, {key: "map", kind: area, value: mapArea(g)},
		{key: "stated", kind: area, value: orBlank(g.Area)}, {key: "worked", kind: area, value: s.worked(g.ID)},
		{key: "nurse", value: g.Nurse}, {key: "spray", value: g.Spray}, {key: "notes", value: g.Notes}}
}

// wound is a closed ring that runs against the clock, or with it.
func wound(ring []rate.Point, against bool) []rate.Point {
	twice := 0.0
	for i := range ring[1:] {
		a, b, o := ring[i], ring[i+1], ring[0]
		twice += float64(float64(a.Lon-o.Lon)*float64(b.Lat-o.Lat)) - float64(float64(b.Lon-o.Lon)*float64(a.Lat-o.Lat))
	}
	if (twice > 0) == against {
		return ring
	}
	out := make([]rate.Point, len(ring))
	for i, c := range ring {
		out[len(ring)-1-i] = c
	}
	return out
}

// MaxGeoJSON is how many bytes of a GeoJSON file are read.
const MaxGeoJSON = 8 << 20

// ErrGeoJSON reports a file that is no GeoJSON of pieces of ground.
var ErrGeoJSON = errors.New("not GeoJSON of pieces of ground")

// Piece is a piece of ground that a GeoJSON file holds.
type Piece struct {
	Name  string // "" where the file has none
	Rings []entry.Ring
	Area  units.Area // inside the boundary
}

// geo is any object of GeoJSON, as far as it matters here.
type geo struct {
	Type        string
	Features    []geo
	Geometry    *geo
	Coordinates json.RawMessage
	Geometries  []geo
	Properties  map[string]json.RawMessage
}

// ReadGeoJSON reads the pieces of ground in a GeoJSON text: a feature
// collection, a feature or a bare polygon; a multipolygon of one polygon counts
// as that one. Points and lines, and members that it does not know, are passed
// over, as RFC 7946 has it; further coordinates, such as a height, likewise.
// Every error is an ErrGeoJSON that says where.
func ReadGeoJSON(data []byte) ([]Piece, error) {
	if len(data) > MaxGeoJSON {
		return nil, fmt.Errorf("%w: more than %d MiB", ErrGeoJSON, MaxGeoJSON>>20)
	}
	var top geo
	if err := json.Unmarshal(bytes.TrimPrefix(data, []byte(byteOrderMark)), &top); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrGeoJSON, err)
	}
	features := top.Features
	if top.Type != "FeatureCollection" {
		features = []geo{top}
	}
	var list []Piece
	for i := range features {
		p, err := features[i].piece()
		if err != nil {
			return nil, fmt.Errorf("%w: feature %d%s: %w", ErrGeoJSON, i+1, named(p.Name), err)
		}
		if len(p.Rings) > 0 {
			list = append(list, p)
		}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%w: no polygon is in it", ErrGeoJSON)
	}
	return list, nil
}

func named(name string) string {
	if name == "" {
		return ""
	}
	return " (" + strconv.Quote(name) + ")"
}

func (f *geo) piece() (p Piece, err error) {
	shape := f
	switch {
	case f.Type == "Feature" && f.Geometry == nil:
		return p, nil
	case f.Type == "Feature":
		shape = f.Geometry
		_ = json.Unmarshal(f.Properties["name"], &p.Name) // no name, or one that is no text, is none
	}
	var polygon [][][]float64
	switch shape.Type {
	case "Polygon":
		err = json.Unmarshal(shape.Coordinates, &polygon)
	case "MultiPolygon":
		var several [][][][]float64
		if err = json.Unmarshal(shape.Coordinates, &several); err == nil && len(several) == 1 {
			polygon = several[0]
		} else if err == nil {
			err = fmt.Errorf("%d separate polygons: one piece of ground has one outline; give each a feature and a name of its own", len(several))
		}
	case "Point", "MultiPoint", "LineString", "MultiLineString":
	case "GeometryCollection":
		err = errors.New("a collection of geometries: give each polygon a feature of its own")
	default:
		err = fmt.Errorf("unknown type %q", shape.Type)
	}
	if err != nil || len(polygon) == 0 {
		return p, err
	}
	return p, p.take(polygon)
}

// take fills in a polygon's rings and their area.
func (p *Piece) take(polygon [][][]float64) error {
	closed := make([][]rate.Point, len(polygon))
	for i, ring := range polygon {
		if len(ring) < 4 {
			return fmt.Errorf("ring %d has %d positions: at least 4 are wanted, the last being the first", i+1, len(ring))
		}
		var open entry.Ring
		for n, c := range ring {
			at, err := position(c)
			if err != nil {
				return fmt.Errorf("ring %d, position %d: %w", i+1, n+1, err)
			}
			closed[i] = append(closed[i], at)
			if n < len(ring)-1 {
				open = append(open, at.Lon, at.Lat)
			}
		}
		p.Rings = append(p.Rings, open)
	}
	var err error
	p.Area, err = rate.PieceArea(closed)
	return err
}

func position(c []float64) (rate.Point, error) {
	if len(c) < 2 {
		return rate.Point{}, fmt.Errorf("%v is no position: longitude and latitude are wanted", c)
	}
	if math.Abs(c[0]) > 180 || math.Abs(c[1]) > 90 {
		return rate.Point{}, fmt.Errorf("%v,%v: longitude from -180 to 180 and then latitude from -90 to 90 are wanted, in degrees", c[0], c[1])
	}
	return rate.Point{Lon: int64(math.Round(c[0] * 1e7)), Lat: int64(math.Round(c[1] * 1e7))}, nil
}
