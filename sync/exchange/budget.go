package exchange

import "errors"

// What a member's device may have others store, for each day since it was let
// in: what it does not use is added up, so that a new phone gets a whole
// season at once, and nobody's phone can be filled by one that writes without
// end. A hard day of seeding is some 5,000 entries of 30 bytes: this is four.
const (
	DayEntries = 20_000
	DayBytes   = 4 << 20
	// DayHolds is the holds that are taken beyond that: whoever says stop is
	// heard.
	DayHolds = 50
)

// ErrBudget reports entries beyond what their device may have others store.
// Their writer keeps them, and may send them another day.
var ErrBudget = errors.New("beyond what one device may have others store in a day: it stays on that device, and goes another day")

// Budget is what a device's log may come to in entries and bytes, where it was
// let in at since and it is now wall (ms since 1970, each by the clock of who
// says so): one day's at least.
func Budget(since, wall int64) (entries, bytes, holds uint64) {
	const day = 24 * 60 * 60 * 1000
	days := uint64(1)
	if wall > since {
		days += uint64(wall-since) / day
	}
	return days * DayEntries, days * DayBytes, days * DayHolds
}
