package report

import (
	"fmt"
	"time"
	"turnrow/client"
)

// Clocks says whose date or time seems to be far off, and what to do. It is never
// nil.
func (r Report) Clocks() []string {
	lines := []string{}
	for _, f := range r.Farm.FarClocks() {
		lines = append(lines, r.farClock(f))
	}
	return lines
}

func (r Report) farClock(f client.FarClock) string {
	off := FarText(f.Ahead.Abs())
	switch {
	case f.Device != r.Farm.Device():
		return fmt.Sprintf("%s last wrote %s ahead of the clock here: set date, time and time zone right there, or here. No note is lost by it.", DeviceNamed(r.Farm.Devices(), f.Device), off)
	case f.Ahead > 0:
		return fmt.Sprintf("The clock here is %s ahead of the other's: set date, time and time zone right here, or there. No note is lost by it.", off)
	}
	return fmt.Sprintf("The clock here is %s behind others': set date, time and time zone right here, or there. No note is lost by it.", off)
}

// FarText is a long time in words: in days from two on.
func FarText(d time.Duration) string {
	n, days := client.LongTime(d)
	if days {
		return counted(n, "day")
	}
	return counted(n, "hour")
}
