package fields

import (
	"fmt"
	"time"

	"turnrow/client/sheet"
)

// Day is a day in a field: 2026-09-14, "today" or "yesterday", counted from
// today; today where nothing stands there.
func (r *Reader) Day(field string, today sheet.Day) sheet.Day {
	switch text := r.Text(field); text {
	case "", "today":
		return today
	case "yesterday":
		return today - 1
	default:
		d, err := sheet.ParseDay(text)
		if err != nil {
			r.Refuse(field, &NoDay{err})
		}
		return d
	}
}

// NoDay is the error for a text that is no day.
type NoDay struct{ error }

func (n *NoDay) Unwrap() error { return n.error }

// Moment reads a moment as people say it: so long ago (2h), a time today
// (6:00), a day, or a day and a time, where now is.
func Moment(text string, now time.Time) (time.Time, error) {
	if d, err := time.ParseDuration(text); err == nil {
		return now.Add(-d), nil
	}
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t, nil
	}
	for _, layout := range []string{time.DateOnly, time.DateOnly + " 15:04", time.DateOnly + "T15:04"} {
		if t, err := time.ParseInLocation(layout, text, now.Location()); err == nil {
			return t, nil
		}
	}
	t, err := time.Parse("15:04", text)
	if err != nil {
		return time.Time{}, fmt.Errorf("%q is no time: 2h, 06:00, 2026-09-14 or \"2026-09-14 06:00\" is wanted", text)
	}
	y, m, d := now.Date()
	return time.Date(y, m, d, t.Hour(), t.Minute(), 0, 0, now.Location()), nil
}
