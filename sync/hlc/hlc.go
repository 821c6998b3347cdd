// Package hlc is the hybrid logical clock by which entries that were written
// apart are ordered for showing.
//
// A Time is 64 bits: 48 bits of milliseconds since the Unix epoch and 16 bits
// of count. A device's clock follows its own wall clock; what others wrote, and
// what it wrote itself, moves it on from there (Kulkarni, Demirbas, Madappa,
// Avva and Leone, "Logical Physical Clocks", OPODIS 2014), but only within an
// hour. A clock further ahead than that is wrong, or a lie: who followed it
// would be wrong too, and in the end nobody could write any more. What was seen
// comes first all the same, by the places that package farm works out.
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

// Hour is an hour of a Time: how far others' clocks may move a device's own
// beyond its wall clock.
const Hour Time = 3_600_000 << countBits

// ErrRange reports milliseconds outside 0 to MaxMillis.
var ErrRange = errors.New("hlc: milliseconds out of range")

// At makes a Time from milliseconds since the Unix epoch (0 to MaxMillis) and
// a count. Milliseconds out of range give ErrRange.
func At(millis int64, count uint16) (Time, error) {
	if millis < 0 || millis > MaxMillis {
		return 0, ErrRange
	}
	return Time(millis)<<countBits | Time(count), nil
}

// Millis is the clock's milliseconds since the Unix epoch.
func (t Time) Millis() int64 { return int64(t >> countBits) }

// Count is the number of steps taken within the same millisecond.
func (t Time) Count() uint16 { return uint16(t & maxCount) }

// Next is the clock of a new entry: at the device's wall clock (milliseconds
// since the Unix epoch), and later than what it had seen, its own entries or
// others', where that is no more than an hour ahead of the wall. A wall clock
// before 1970 counts as 1970, one past MaxMillis as that. The last Time there is
// has none after it: then the next stands at the wall.
func Next(latest Time, wall int64) Time {
	now := Time(min(max(wall, 0), MaxMillis)) << countBits
	if latest >= now && latest-now < Hour && latest+1 > now {
		return latest + 1
	}
	return now
}

// Later is the later of two clocks, or the one that is no more than an hour
// ahead of a wall clock where only one of them is.
func Later(a, b Time, wall int64) Time {
	now := Time(min(max(wall, 0), MaxMillis)) << countBits
	if b >= now && b-now >= Hour {
		return a
	}
	return max(a, b)
}
