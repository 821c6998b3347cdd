package view

import (
	"fmt"
	"strconv"
	"strings"

	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Rings reads a boundary as the farm's view shows it: corners parted by
// commas, rings by semicolons. Each ring comes back closed by its first
// corner.
func Rings(boundary string) ([][]rate.Point, error) {
	if boundary == "" {
		return nil, nil
	}
	var rings [][]rate.Point
	for _, text := range strings.Split(boundary, ";") {
		ring, err := readRing(text)
		if err != nil {
			return nil, err
		}
		rings = append(rings, ring)
	}
	return rings, nil
}

func readRing(text string) ([]rate.Point, error) {
	numbers := strings.Split(text, ",")
	if len(numbers)%2 != 0 {
		return nil, fmt.Errorf("a boundary with %d numbers: pairs of longitude and latitude are wanted", len(numbers))
	}
	var ring []rate.Point
	for i := 0; i < len(numbers); i += 2 {
		lon, err1 := strconv.ParseInt(numbers[i], 10, 64)
		lat, err2 := strconv.ParseInt(numbers[i+1], 10, 64)
		if err1 != nil || err2 != nil {
			return nil, fmt.Errorf("a boundary's corner %q,%q is no pair of whole numbers", numbers[i], numbers[i+1])
		}
		ring = append(ring, rate.Point{Lon: lon, Lat: lat})
	}
	if last := len(ring) - 1; last > 0 && ring[last] != ring[0] {
		ring = append(ring, ring[0])
	}
	return ring, nil
}

// MapArea is the area inside a piece of ground's boundary; 0 where none is
// set. It fails where the boundary encloses no one area.
func (g *Ground) MapArea() (units.Area, error) {
	rings, err := Rings(g.Boundary)
	if err != nil || len(rings) == 0 {
		return 0, err
	}
	return rate.PieceArea(rings)
}

// Size is a piece's area by its boundary (mapped), or else as it was stated; 0
// where neither is known.
func (g *Ground) Size() (a units.Area, mapped bool) {
	if a, err := g.MapArea(); err == nil && a > 0 {
		return a, true
	}
	return g.Area, false
}
