// Package report answers what people ask of a farm in the types of package
// answer: how each box stands, what is in doubt, who belongs. Commands print
// these with --json, and an app gets them through package mobile.
package report

import (
	"fmt"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Report answers for one farm, as it stands at one moment.
type Report struct {
	Farm   *client.Farm
	View   client.Look  // the farm at that moment; asked for only where an answer needs it
	System units.System // of figures that stand in words
}

// zone is the farm's time zone, or the device's own where the farm names none.
func (r Report) zone() *time.Location { return Zone(r.Farm) }

// Zone is a farm's time zone, or the device's own where the farm names none
// that is known here.
func Zone(f *client.Farm) *time.Location {
	name := f.Founding().TimeZone
	if z, err := time.LoadLocation(name); err == nil && name != "" {
		return z
	}
	return time.Local
}

// DeviceNamed is what the crew calls one of its devices.
func DeviceNamed(all []farm.Device, id entry.DeviceID) string {
	for _, d := range all {
		if d.ID == id && d.Name != "" {
			return d.Name
		}
	}
	text := id.String()
	return "device " + text[len(text)-6:]
}

// Waits says whether a farm's own device waits to be let in.
func Waits(own farm.Device) bool {
	return !own.ID.IsZero() && !own.Joined && !own.Stopped && !own.Refused
}

// checklist is one of the lists of checks; empty where it is not here.
func (r Report) checklist(id entry.ID) (list farm.Checklist) {
	for _, c := range r.View().Checks {
		if c.ID == id {
			return c
		}
	}
	return list
}

func counted[N int | int64](n N, what string) string { return units.Counted(fmt.Sprint(n), what) }
