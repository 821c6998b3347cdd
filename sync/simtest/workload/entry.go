package workload

import (
	"math"
	"slices"
	"strconv"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// Things are what the lines are about: the five persons, the four boxes, and a
// lot for each kind, as a record names them.
type Things struct{ Persons, Boxes, Lots []entry.ID }

// bag is the mass of a bag of every lot, mg.
const bag units.Mass = 25e6

// SetUp is the bodies that make the things: a batch in which next(i) is the ID
// of the i-th.
func SetUp(next func(i int) entry.ID) ([]entry.Body, Things) {
	var bodies []entry.Body
	var t Things
	add := func(ids *[]entry.ID, b entry.Body) {
		*ids = append(*ids, next(len(bodies)))
		bodies = append(bodies, b)
	}
	for i := range people {
		add(&t.Persons, &entry.MemberAdded{Name: "p" + strconv.Itoa(i), Role: entry.Operator})
	}
	var drills []entry.ID
	add(&drills, &entry.DrillSet{Name: entry.Some("drill"), Rows: entry.Some[int64](16), Counter: entry.CountsAcres})
	for i := range boxes {
		add(&t.Boxes, &entry.BoxSet{Drill: drills[0], Name: entry.Some("box " + strconv.Itoa(i+1))})
	}
	for _, k := range kinds {
		add(&t.Lots, &entry.LotSet{Name: entry.Some(k), Bag: entry.Some(bag)})
	}
	return bodies, t
}

// Draft is the entry that carries all that a line says: a fill with a note,
// whose lot stands for the kind. Device and number are the entry's own.
func (t *Things) Draft(l Line) entry.Draft {
	person, _ := strconv.Atoi(l.Person[1:])
	b := &entry.Filled{Box: t.Boxes[l.Box-1], Lot: t.Lots[slices.Index(kinds[:], l.Kind)], Note: l.Note}
	if thousandths := units.Count(math.Round(l.Qty*100)) * 10; thousandths > 0 {
		b.Bags = thousandths
	} else {
		b.Mass = 1 // of nothing an entry cannot be: a milligram stands for it
	}
	return entry.Draft{Wall: l.Time, Person: t.Persons[person], Body: b}
}
