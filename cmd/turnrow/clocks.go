package main

import (
	"fmt"
	"time"

	"turnrow/client"
)

// clocks says whose date or time seems to be far off, and what to do. It is never
// nil.
func (k *call) clocks() []string {
	lines := []string{}
	for _, f := range k.farm.FarClocks() {
		lines = append(lines, k.farClock(f))
	}
	return lines
}

func (k *call) farClock(f client.FarClock) string {
	off := farText(f.Ahead.Abs())
	switch {
	case f.Device != k.farm.Device():
		return fmt.Sprintf("%s last wrote %s ahead of the clock here: set date, time and time zone right there, or here. No note is lost by it.", k.deviceNamed(f.Device), off)
	case f.Ahead > 0:
		return fmt.Sprintf("The clock here is %s ahead of the other's: set date, time and time zone right here, or there. No note is lost by it.", off)
	}
	return fmt.Sprintf("The clock here is %s behind others': set date, time and time zone right here, or there. No note is lost by it.", off)
}

// farText is a long time in words: in days from two on.
func farText(d time.Duration) string {
	n, days := client.LongTime(d)
	if days {
		return counted(n, "day")
	}
	return counted(n, "hour")
}
