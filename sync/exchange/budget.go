package exchange

import "errors"

// What a member's device may have others store, for each day since it was let
// in: what it does not use is added up, so that a new phone gets a whole
// season at once, and nobody's phone can be filled by one that writes without
// end. A hard day of seeding is some 5,000 entries of 30 bytes: this is four.
// What others named is taken beyond it, as often as branches are kept.
const (
	DayEntries = 20_000
	DayBytes   = 4 << 20
	// DayHolds is the holds that are taken beyond that: whoever says stop is
	// heard.
	DayHolds = 50
	// DayRights is the entries about who belongs and who may do what, which all
	// replicas weigh against each other: more than 60 people who join in a day.
	DayRights = 200
	// DayStops is the stops that are taken beyond that: whoever is an owner can end
	// what goes wrong.
	DayStops = 50
)

// ErrBudget reports entries beyond what their device may have others store.
// Their writer keeps them, and may send them another day.
var ErrBudget = errors.New("beyond what one device may have others store in a day: it stays on that device, and goes another day")

// ErrRights reports entries about rights beyond what their device may have others
// store. Their writer keeps them, and may send them another day.
var ErrRights = errors.New("beyond what one device may write about rights in a day: it stays on that device, and goes another day")

// Budget is what a device's log may come to in entries and bytes, where it was
// let in at since and it is now wall (ms since 1970, each by the clock of who
// says so): one day's at least.
func Budget(since, wall int64) (entries, bytes, holds uint64) {
	n := days(since, wall)
	return n * DayEntries, n * DayBytes, n * DayHolds
}

// Rights is Budget for entries about rights, and stops beyond these.
func Rights(since, wall int64) (entries, stops uint64) {
	n := days(since, wall)
	return n * DayRights, n * DayStops
}

func days(since, wall int64) uint64 {
	const day = 24 * 60 * 60 * 1000
	if wall <= since {
		return 1
	}
	return 1 + uint64(wall-since)/day
}
