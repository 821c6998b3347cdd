package main

import (
	"strings"

	"turnrow/client/words"
	"turnrow/sync/farm"
)

// marked puts a mark behind a figure that rests on open doubts; words such as
// "not known" are none.
func marked(figure string, on []words.Doubt) string {
	if len(on) == 0 || !strings.ContainsAny(figure, "0123456789") {
		return figure
	}
	return figure + " ?"
}

// markedBox marks the figures of a box's row: its aim where two plans are in
// doubt, all that was measured where anything else is.
func markedBox(row []string, on []words.Doubt) []string {
	var plans, others []words.Doubt
	for _, d := range on {
		if d.Kind == farm.TwoPlans {
			plans = append(plans, d)
		} else {
			others = append(others, d)
		}
	}
	row[2], row[3] = marked(row[2], others), marked(row[3], plans)
	row[4], row[5] = marked(row[4], others), marked(row[5], others)
	if row[4] == emptyText && len(others) > 0 {
		row[4] += " ?"
	}
	return row
}

// restLines says which open doubts the figures of a thing rest on, and how to
// see them; nothing where there are none.
func restLines(name string, on []words.Doubt) []string {
	if len(on) == 0 {
		return nil
	}
	said := make([]string, len(on))
	for i, d := range on {
		said[i] = words.Kind(d.Kind) + " (" + d.ID() + ")"
	}
	return []string{"? " + name + " rests on open doubts: " + strings.Join(said, ", ") + "; see turnrow doubts"}
}
