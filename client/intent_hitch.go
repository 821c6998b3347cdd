package client

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Hitch is that a hitch of a drill is begun, on the farm's latest list of
// checks.
type Hitch struct {
	Drill   entry.ID
	Tractor string
}

func (h Hitch) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.drill(v, h.Drill)
	list, ok := LatestChecks(v)
	r.because(!ok, "checks", NoChecks, "")
	return r.or(&entry.HitchBegun{Checks: list.ID, Drill: h.Drill, Tractor: h.Tractor})
}

// LatestChecks is the list that a hitch is begun on; false where none is set.
func LatestChecks(v *farm.View) (farm.Checklist, bool) {
	if len(v.Checks) == 0 {
		return farm.Checklist{}, false
	}
	return slices.MaxFunc(v.Checks, func(a, b farm.Checklist) int { return int(a.Version - b.Version) }), true
}

// Sign is that somebody saw to checks of a hitch.
type Sign struct {
	Drill entry.ID
	Hitch entry.ID // the one that the person was shown: signatures are for no other
	Items []int64  // of the hitch's list, from 1
}

func (s Sign) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	d, _ := r.drill(v, s.Drill)
	list, here := checksOf(v, d.Hitch.Checks)
	switch {
	case r.because(d.Hitch.Begun.IsZero(), "hitch", NoHitch, d.Name):
	case r.because(d.Hitch.Begun != s.Hitch, "hitch", AnotherHitch, d.Name):
	case r.because(!here, "checks", NotHere, ""):
	}
	r.because(len(s.Items) == 0, "items", Missing, "")
	var bodies []entry.Body
	for _, n := range s.Items {
		r.because(here && (n < 1 || n > int64(len(list.Items))), "items", NoSuchCheck, "")
		bodies = append(bodies, &entry.ItemSigned{Hitch: s.Hitch, Item: n})
	}
	return r.or(bodies...)
}

func checksOf(v *farm.View, id entry.ID) (farm.Checklist, bool) {
	i := slices.IndexFunc(v.Checks, func(c farm.Checklist) bool { return c.ID == id })
	if i < 0 {
		return farm.Checklist{}, false
	}
	return v.Checks[i], true
}

// Hold is that somebody says stop: nobody works the drill until it is released.
// It is written whatever else is wrong: whoever says stop is heard.
type Hold struct {
	Drill entry.ID // zero is every drill
	Why   string
}

func (h Hold) bodies(*Farm, Look, func(int) entry.ID) ([]entry.Body, error) {
	return []entry.Body{&entry.HoldRaised{Drill: h.Drill, Why: h.Why}}, nil
}

// Release is that holds on a drill are released. Nobody releases a hold that
// they have not seen.
type Release struct {
	Drill entry.ID
	Holds []entry.ID // that were shown; none is all that this device knows of
	Why   string
}

func (l Release) bodies(_ *Farm, look Look, next func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	d, _ := r.drill(v, l.Drill)
	r.because(l.Why == "", "why", Missing, "")
	open := Releasable(&d.Hitch, next(0).Log.Device())
	switch {
	case len(open) == 0 && len(d.Hitch.Strangers) > 0:
		r.entry(true, "holds", StrangersHold, d.Name, d.Hitch.Strangers[0].Entry)
	case len(open) == 0:
		r.because(true, "holds", NoHold, d.Name)
	}
	holds := l.Holds
	if len(holds) == 0 {
		holds = open
	}
	for _, id := range holds {
		r.entry(len(open) > 0 && !slices.Contains(open, id), "holds", NoSuchHold, d.Name, id)
	}
	return r.or(&entry.HoldReleased{Drill: l.Drill, Holds: slices.Clone(holds), Why: l.Why})
}

// Releasable are the open holds that somebody who may can release on a device:
// who waits to be let in may still take back a stop of their own.
func Releasable(h *farm.Hitch, device entry.DeviceID) (open []entry.ID) {
	for _, hold := range h.Holds {
		open = append(open, hold.Entry)
	}
	for _, hold := range h.Strangers {
		if hold.Entry.Log == device.Log() {
			open = append(open, hold.Entry)
		}
	}
	return open
}

// SeenHold is that somebody has seen holds, so that whoever raised them reads who
// knows. It releases nothing. One that was released by then, or that the person
// has said to have seen, may be named: they saw it. One of a device that waits to
// be let in may not, since its log is not everywhere.
type SeenHold struct {
	Holds []entry.ID // that were shown; none is all that are open
}

func (s SeenHold) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	open, strangers, known := holdsOf(look())
	holds := s.Holds
	if len(holds) == 0 {
		holds = open
	}
	switch {
	case len(holds) == 0 && len(strangers) > 0:
		r.entry(true, "holds", StrangersHold, "", strangers[0])
	case len(holds) == 0:
		r.because(true, "holds", NoHold, "")
	}
	for _, id := range holds {
		waits := slices.Contains(strangers, id)
		r.entry(waits, "holds", StrangersHold, "", id)
		r.entry(!waits && !known[id], "holds", NoSuchHold, "", id)
	}
	var bodies []entry.Body
	for some := range slices.Chunk(holds, entry.MaxList) {
		bodies = append(bodies, &entry.HoldSeen{Holds: slices.Clone(some)})
	}
	return r.or(bodies...)
}

// holdsOf are the holds on all drills: those that are open, those of devices
// that wait to be let in, and all that may be named. A hold on every drill is one.
func holdsOf(v *farm.View) (open, strangers []entry.ID, known map[entry.ID]bool) {
	known = map[entry.ID]bool{}
	for _, d := range v.Drills {
		for _, h := range d.Hitch.Holds {
			if !known[h.Entry] {
				open = append(open, h.Entry)
			}
			known[h.Entry] = true
		}
		for _, h := range slices.Concat(d.Hitch.Late, d.Hitch.Released) {
			known[h.Entry] = true
		}
		for _, h := range d.Hitch.Strangers {
			strangers = append(strangers, h.Entry)
		}
	}
	return open, strangers, known
}

// Unhitch is that a drill was unhitched: every signature is void.
type Unhitch struct {
	Drill entry.ID
	Why   string
}

func (u Unhitch) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.drill(v, u.Drill)
	return r.or(&entry.Unhitched{Drill: u.Drill, Why: u.Why})
}

// MakeUp is that a drill was made up for the road, or for the field.
type MakeUp struct {
	Drill entry.ID
	For   entry.DrillState
	Note  string
}

func (m MakeUp) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.drill(v, m.Drill)
	return r.or(&entry.DrillMoved{Drill: m.Drill, State: m.For, Note: m.Note})
}
