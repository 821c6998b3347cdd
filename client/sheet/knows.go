package sheet

import (
	"fmt"
	"slices"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Knows says how far this device's record goes at a moment: whatever it calls
// ready, another device may know a hold against. met is when it last exchanged
// with another, zero for never.
func Knows(v *farm.View, device entry.DeviceID, met, now time.Time) string {
	const soFar = "as far as this device knows"
	others := slices.ContainsFunc(v.Devices, func(d farm.Device) bool { return d.ID != device && d.Joined && !d.Stopped })
	switch {
	case !others:
		return soFar + ", the farm's only one"
	case met.IsZero():
		return soFar + ", which has not met the others yet"
	}
	return soFar + ", which met the others " + Ago(now.Sub(met))
}

// Ago writes how long something is past, in its largest whole unit. What lies
// ahead, by a clock that was set back, is just now.
func Ago(d time.Duration) string {
	const day = 24 * time.Hour
	for _, u := range []struct {
		unit time.Duration
		name string
	}{{day, "day"}, {time.Hour, "hour"}, {time.Minute, "minute"}} {
		switch n := d / u.unit; {
		case n == 1:
			return "1 " + u.name + " ago"
		case n > 1:
			return fmt.Sprintf("%d %ss ago", n, u.name)
		}
	}
	return "just now"
}
