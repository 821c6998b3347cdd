package client

import (
	"time"

	"turnrow/sync/entry"
)

// How many years before the record began a day may lie on which something was
// done: our own figures, no source. Plants are counted on what was sown in the
// years before; seed is kept long, and no test says anything of it after so many.
const (
	StandYears = 2
	TestYears  = 20
)

// CheckDay refuses a day, counted since 1970, on which nothing that is written
// can have been done: one that is yet to come by this device's clock, in the
// farm's time zone, or so many years or more before the record began. The error
// is an *entry.RangeError with the days that can be.
func (f *Farm) CheckDay(field string, day int64, years int) error {
	now := f.now().In(f.zone())
	today, first := dayOf(now), f.began(now).In(now.Location()).AddDate(-years, 0, 0)
	if earliest := dayOf(first); day < earliest || day > today {
		return &entry.RangeError{Field: field, Value: dateOf(day),
			Want: dateOf(earliest) + " to " + dateOf(today) + ", which is today by this device's clock"}
	}
	return nil
}

// checkDays refuses a body with a day on which nothing can have been done. A day
// that an entry has already may stay when something else of it is amended.
func (f *Farm) checkDays(b entry.Body) error {
	if am, ok := b.(*entry.Amended); ok {
		l, _ := f.Line(am.Entry)
		_, was, _ := dayIn(l.Now)
		if _, day, _ := dayIn(am.Body); day == was {
			return nil
		}
		b = am.Body
	}
	field, day, years := dayIn(b)
	if field == "" {
		return nil
	}
	return f.CheckDay(field, day, years)
}

// dayIn is the day that a body names, what that is, and how many years before
// the record began it may lie; the name is "" where there is none.
func dayIn(b entry.Body) (field string, day int64, years int) {
	switch b := b.(type) {
	case *entry.StandCounted:
		return "day", b.Day, StandYears
	case *entry.LotSet:
		if b.Tested.Set {
			return "test date", b.Tested.Val, TestYears
		}
	}
	return "", 0, 0
}

// began is the earliest time that a device's first entry has; now where there is
// none yet.
func (f *Farm) began(now time.Time) time.Time {
	for _, d := range f.Devices() {
		if l, ok := f.Line(entry.ID{Log: d.ID.Log(), Seq: 1}); ok && l.Wall < now.UnixMilli() {
			now = time.UnixMilli(l.Wall)
		}
	}
	return now
}

// zone is the farm's time zone; the device's own where the farm has none that is
// known here.
func (f *Farm) zone() *time.Location {
	name := f.Founding().TimeZone
	if z, err := time.LoadLocation(name); err == nil && name != "" {
		return z
	}
	return time.Local
}

// dayOf is the day of a time where it is, counted since 1970.
func dayOf(t time.Time) int64 {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / secondsOfDay
}

// dateOf writes a day, counted since 1970, as ISO 8601 does.
func dateOf(day int64) string { return time.Unix(day*secondsOfDay, 0).UTC().Format(time.DateOnly) }

const secondsOfDay = 24 * 60 * 60
