package farm

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// Copy is another state with the same entries in their places. What waits for
// its causes is left out.
func (s *State) Copy() *State {
	c := New(s.id)
	for _, b := range s.branches {
		c.Branch(b.id, entry.ID{Device: b.root.id, Seq: b.base})
	}
	for _, r := range s.order {
		c.Apply(s.entryOf(r))
	}
	return c
}

// Writer is who is about to write, on which device, and when.
type Writer struct {
	Device entry.DeviceID
	Person entry.ID // zero for the device's own person
	Wall   int64    // ms since 1970, by the device's own clock
}

// Unlikely tries what a writer is about to write, and finds what of it is
// unlikely to be so: the doubts of slips that would be there, in order, as if
// the bodies were the device's next entries. The state stays as it is: they
// are tried on a copy.
func (s *State) Unlikely(w Writer, bodies ...entry.Body) []Doubt {
	if !slices.ContainsFunc(bodies, mayBeSlip) {
		return nil
	}
	c := s.Copy()
	first := c.draft(w, bodies)
	v, boxes, flows := c.made(inTurn)
	var out []Doubt
	slips := c.slips(v, boxes, flows)
	for i := range slips {
		sl := &slips[i]
		if sl.doubtOnly {
			continue
		}
		if slices.ContainsFunc(sl.recs, func(r *rec) bool { return r.draftedOn(w.Device, first) }) {
			out = append(out, c.wordSlip(sl, idsOf(sl.recs), true, sl.recs[len(sl.recs)-1].dev.id == w.Device && sl.recs[len(sl.recs)-1].seq >= first))
		}
	}
	return out
}

// draftedOn says whether an entry is one of a device's from a number on, or is
// amended by such.
func (r *rec) draftedOn(d entry.DeviceID, first uint64) bool {
	if r.dev.id == d && r.seq >= first {
		return true
	}
	return r.edits != nil && slices.ContainsFunc(r.edits.all(), func(e *rec) bool { return e.draftedOn(d, first) })
}

// mayBeSlip says whether some slip is about bodies of its kind.
func mayBeSlip(b entry.Body) bool {
	switch b := b.(type) {
	case *entry.Amended:
		return mayBeSlip(b.Body)
	case *entry.GroundFinished:
		return b.Finished
	case *entry.Caught, *entry.Filled, *entry.VolumeFilled, *entry.Drained, *entry.LevelRead, *entry.BagsOut, *entry.MeterRead,
		*entry.CounterStood, *entry.DialMoved, *entry.DrillSet, *entry.BoxSet, *entry.GroundSet, *entry.LotSet, *entry.LabelSet,
		*entry.ChartPointSet, *entry.PlanSet:
		return true
	}
	return false
}

// draft applies bodies as a device's next entries, written in the knowledge of
// all that is here, and gives the number of the first.
func (s *State) draft(w Writer, bodies []entry.Body) (first uint64) {
	d := s.device(w.Device)
	first = d.held() + 1
	var latest hlc.Time
	for _, r := range s.order {
		latest = max(latest, r.clock)
	}
	var seen []entry.ID
	for _, m := range s.Applied() {
		if m.Device != w.Device {
			seen = append(seen, entry.ID{Device: m.Device, Seq: m.Seq})
		}
	}
	for i, b := range bodies {
		clock, err := hlc.Next(latest, w.Wall)
		if err != nil {
			return first // recording it is refused for that
		}
		latest = clock
		id := entry.ID{Device: w.Device, Seq: first + uint64(i)}
		s.Apply(entry.Entry{ID: id, Clock: clock, Wall: w.Wall, Person: w.Person, Seen: seen, Body: b})
		seen = nil
	}
	return first
}
