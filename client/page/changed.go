package page

import (
	"strings"
	"time"

	"turnrow/client/fields"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// Forms that set details of a thing write only what was changed in them, so
// that two people can change different details apart from each other.

// changed is what is typed in a field, where that is another value than now.
// An empty field changes nothing.
func changed[T comparable](f *form, name string, parse fields.Parser[T], now T, opts ...units.Option) (o entry.Opt[T]) {
	if v := fields.Read(f.Reader, name, parse, opts...); f.Has(name) && v != now {
		o = entry.Some(v)
	}
	return o
}

// changedText is the words in a field, where they are others than now; they
// may be none.
func changedText(f *form, name, now string) (o entry.Opt[string]) {
	if v := f.Val(name); f.vals.Has(name) && v != now {
		o = entry.Some(v)
	}
	return o
}

// changedDay is the day in a field, counted since 1970, where it is another
// than now.
func changedDay(f *form, name string, now int64) (o entry.Opt[int64]) {
	if !f.Has(name) {
		return o
	}
	t, err := time.Parse(time.DateOnly, f.Val(name))
	if err != nil {
		f.refuse(name, words.text("form.day"))
	}
	if d := t.Unix() / secondsOfDay; d != now {
		o = entry.Some(d)
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
