package view

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/work"
)

// NotSeen are the people of whom nobody knows that they have seen a hold: those of
// the crew who may drive the drill, from a helper up. Guests, who watch, are not
// waited for; who raised the hold knows of it.
func (v *View) NotSeen(h *work.Hold) (people []Member) {
	for _, m := range v.Crew {
		seen := slices.ContainsFunc(h.Seen, func(by work.HoldSeen) bool { return by.Person == m.ID })
		if !m.Stopped && m.Role >= entry.Helper && m.ID != h.By && !seen {
			people = append(people, m)
		}
	}
	return people
}
