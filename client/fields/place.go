package fields

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"turnrow/sync/entry"
)

// NoPlace is the error for what names no place on the map.
type NoPlace struct{ Text string }

func (n *NoPlace) Error() string {
	return fmt.Sprintf("%q is no place: latitude, -90 to 90, and longitude, -180 to 180, are wanted in degrees, such as 41.23456 -77.12345", n.Text)
}

// Place is a place on the map, latitude first, as maps and phones write it: two
// numbers in degrees, parted by a space or a comma. They are kept in
// ten-millionths. What is wrong is a *NoPlace.
func (r *Reader) Place(field string) (latitude, longitude entry.Opt[int64]) {
	if !r.Has(field) {
		return latitude, longitude
	}
	text := r.Text(field)
	parts := strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == ',' })
	if len(parts) == 2 {
		lat, latErr := degrees(parts[0], 90)
		lon, lonErr := degrees(parts[1], 180)
		if latErr == nil && lonErr == nil {
			return entry.Some(lat), entry.Some(lon)
		}
	}
	r.Refuse(field, &NoPlace{text})
	return latitude, longitude
}

// degrees reads degrees, up to so many either way, as ten-millionths.
func degrees(text string, most float64) (int64, error) {
	d, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(d) || math.Abs(d) > most {
		return 0, &NoPlace{text}
	}
	return int64(math.Round(d * 1e7)), nil
}

// OneRow is the error for what is not the number of one row.
type OneRow struct{ Text string }

func (o *OneRow) Error() string {
	return fmt.Sprintf("%q is no row: one number from 1 to %d is wanted, counted from the left", o.Text, MostRows)
}

// Row is one row of a drill, counted from 1 on the left; 0 where nothing was
// typed. What is wrong is a *OneRow.
func (r *Reader) Row(field string) int64 {
	if !r.Has(field) {
		return 0
	}
	n, err := strconv.ParseInt(strings.TrimSpace(r.Text(field)), 10, 64)
	if err != nil || n < 1 || n > MostRows {
		r.Refuse(field, &OneRow{r.Text(field)})
		return 0
	}
	return n
}
