package page

import (
	"strings"
	"time"

	"turnrow/sync/entry"
)

// textField is the words in a field that a form has; they may be none.
func textField(f *form, name string) (o entry.Opt[string]) {
	if f.vals.Has(name) {
		o = entry.Some(f.Val(name))
	}
	return o
}

// dayField is the day in a field, counted since 1970.
func dayField(f *form, name string) (o entry.Opt[int64]) {
	if f.Has(name) {
		o = entry.Some(int64(f.Day(name, 0)))
	}
	return o
}

const secondsOfDay = 24 * 60 * 60

// dateField writes a day as a date field does; empty for none.
func dateField(day int64) string {
	if day == 0 {
		return ""
	}
	return time.Unix(day*secondsOfDay, 0).UTC().Format(time.DateOnly)
}

// monthOf is the month of a day counted since 1970.
func monthOf(day int64) (year, month int) {
	t := time.Unix(day*secondsOfDay, 0).UTC()
	return t.Year(), int(t.Month())
}

// typed writes a value as it stands in a field to begin with, empty for none;
// without commas between thousands, which a field may take for decimal ones.
func typed(known bool, text string) string {
	if !known {
		return ""
	}
	return strings.ReplaceAll(strings.TrimSpace(text), ",", "")
}
