package sheet

import (
	"fmt"
	"time"
)

// Day is a calendar day: days since 1970-01-01.
type Day int64

const dayMillis = 24 * 60 * 60 * 1000

// DayOf is the day on which a time falls where it is.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / (dayMillis / 1000))
}

// ParseDay reads a day as ISO 8601 writes it, such as 2026-09-14.
func ParseDay(text string) (Day, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return 0, fmt.Errorf("%q is no day; a day is written as 2026-09-14", text)
	}
	return DayOf(t), nil
}

func (d Day) time() time.Time { return time.Unix(int64(d)*(dayMillis/1000), 0).UTC() }

// String is the day as ISO 8601 writes it.
func (d Day) String() string { return d.time().Format(time.DateOnly) }

// Long is the day in words, such as Monday 14 September 2026.
func (d Day) Long() string { return d.time().Format("Monday 2 January 2006") }

// Span is a stretch of days, both ends included.
type Span struct{ From, To Day }

// Holds says whether a day lies within the span.
func (s Span) Holds(d Day) bool { return s.From <= d && d <= s.To }

// Long is the span in words.
func (s Span) Long() string {
	if s.From == s.To {
		return s.From.Long()
	}
	return s.From.time().Format("2 January 2006") + " to " + s.To.time().Format("2 January 2006")
}

// moment is a time of an entry, on the farm's own clock.
type moment struct {
	time.Time
	dated bool // shown with its day, where a sheet holds several
}

// String is the time to the minute.
func (m moment) String() string {
	if m.dated {
		return m.Format("2 Jan 15:04")
	}
	return m.Format("15:04")
}
