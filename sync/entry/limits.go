package entry

import (
	"fmt"
	"unicode/utf8"

	"turnrow/sync/units"
)

// The ranges of what a body may hold. Each is far beyond any farm's need and
// small enough that a million entries add up without overflow.
const (
	MaxRaw      = 64 << 10           // bytes of one entry: a long note or a boundary fits, a picture does not
	MaxName     = 200                // bytes of a name
	MaxText     = 16 << 10           // bytes of a note or a reason
	MaxList     = 500                // items of a list within a body
	MaxPoints   = 6_000              // numbers of one boundary ring: 3,000 corners
	MaxAccuracy = units.Length(1e11) // of a place: 100 km, where only a mast tells
	MaxDevices  = 4_096              // devices of a record, through all its years: 130 a year for the 30 years of a shared drill

	maxMass    units.Mass        = 1e12 // 1,000 t
	maxLength  units.Length      = 1e13 // 10,000 km, as a distance driven
	maxArea    units.Area        = 1e13 // 100,000 ha
	maxVolume  units.Volume      = 1e9  // 1,000 m³
	maxRate    units.RatePerArea = 1e10 // 100 t/ha
	maxDensity units.Density     = 1e9  // a million a square metre
	maxDial    units.Dial        = 1e8
	maxTurns   units.Turns       = 1e10
	maxReading units.Reading     = 1e11
	maxCount   units.Count       = 1e9
	maxMoney   units.Money       = 1e12
	maxDay                       = 1 << 22 // days since 1970
	maxRow                       = 1000

	maxLongitude = 1_800_000_000 // ten-millionths of a degree
	maxLatitude  = 900_000_000
)

// RangeError says which field of a body is out of range.
type RangeError struct {
	Field string // such as "mass"
	Value string // what it was
	Want  string // the allowed range
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s is %s: must be %s", e.Field, e.Value, e.Want)
}

func between[T ~int64 | ~int | ~uint8 | ~uint16 | ~uint32 | ~uint64](field string, v, low, high T) error {
	if v < low || v > high {
		return &RangeError{field, fmt.Sprint(v), fmt.Sprintf("%v to %v", low, high)}
	}
	return nil
}

func eachBetween[T ~int64](field string, vs []T, low, high T) error {
	for _, v := range vs {
		if err := between(field, v, low, high); err != nil {
			return err
		}
	}
	return nil
}

func betweenOpt[T ~int64](field string, o Opt[T], low, high T) error {
	if !o.Set {
		return nil
	}
	return between(field, o.Val, low, high)
}

func named(field, s string, most int) error {
	if s == "" {
		return &RangeError{field, "empty", "given"}
	}
	return text(field, s, most)
}

func text(field, s string, most int) error {
	if len(s) > most {
		return &RangeError{field, fmt.Sprintf("%d bytes", len(s)), fmt.Sprintf("%d bytes at most", most)}
	}
	if !utf8.ValidString(s) {
		return &RangeError{field, "not readable", "plain letters: type it again, or save it as UTF-8"}
	}
	return nil
}

func textOpt(field string, o Opt[string], most int) error {
	if !o.Set {
		return nil
	}
	return text(field, o.Val, most)
}

func given(field string, id ID) error {
	if id.IsZero() {
		return &RangeError{field, "missing", "given"}
	}
	return nil
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
