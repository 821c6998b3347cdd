// Package hlc is the hybrid logical clock that orders entries for showing.
//
// A Time is 64 bits: 48 bits of milliseconds since the Unix epoch and 16 bits
// of count. It never runs backwards on a device, never lies behind an entry
// that the device had seen, and so agrees with causality whatever the wall
// clocks say (Kulkarni, Demirbas, Madappa, Avva and Leone, "Logical Physical
// Clocks", OPODIS 2014).
package hlc

import "errors"

// Time is one value of the clock. The zero Time comes before every entry.
type Time uint64

const (
	countBits = 16
	// MaxMillis is the last millisecond that a Time can hold (year 10889).
	MaxMillis = 1<<48 - 1
	maxCount  = 1<<countBits - 1
)

// ErrExhausted reports a clock that can go no further: its milliseconds are
// past MaxMillis.
var ErrExhausted = errors.New("hlc: clock exhausted")

// At makes a Time from milliseconds since the Unix epoch (0 to MaxMillis) and
// a count. Milliseconds out of range give ErrExhausted.
func At(millis int64, count uint16) (Time, error) {
	if millis < 0 || millis > MaxMillis {
		return 0, ErrExhausted
	}
	return Time(millis)<<countBits | Time(count), nil
}

// Millis is the clock's milliseconds since the Unix epoch.
func (t Time) Millis() int64 { return int64(t >> countBits) }

// Count is the number of steps taken within the same millisecond.
func (t Time) Count() uint16 { return uint16(t & maxCount) }

// Next is the clock of a new entry: later than every clock in the writer's
// past, and at wall (milliseconds since the Unix epoch) where that is later
// still. A wall clock before 1970 counts as 1970. It gives ErrExhausted at
// the end of the range.
func Next(latest Time, wall int64) (Time, error) {
	wall = max(wall, 0)
	if wall > MaxMillis {
		return 0, ErrExhausted
	}
	if wall > latest.Millis() {
		return Time(wall) << countBits, nil
	}
	if latest == ^Time(0) {
		return 0, ErrExhausted
	}
	return latest + 1, nil
}
