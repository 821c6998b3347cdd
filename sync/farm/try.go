package farm

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/view"
	"turnrow/sync/hlc"
)

func (s *core) copy() *core {
	c := newCore(s.FarmID)
	for _, b := range s.Branches {
		c.branch(b.ID, entry.ID{Log: b.Root.ID, Seq: b.Base})
	}
	for _, r := range s.InPlace {
		c.apply(s.EntryOf(r))
	}
	return c
}

// Writer is who is about to write, on which device, and when.
type Writer struct {
	Device entry.DeviceID
	Person entry.ID // zero for the device's own person
	Wall   int64    // ms since 1970, by the device's own clock
}

func (s *core) unlikely(w Writer, bodies ...entry.Body) []conflict.Doubt {
	if !slices.ContainsFunc(bodies, mayBeSlip) {
		return nil
	}
	c := s.copy()
	first := c.draft(w, bodies)
	v, boxes, flows := c.Made(view.InTurn)
	var out []conflict.Doubt
	slips := c.AllSlips(v, boxes, flows)
	for i := range slips {
		sl := &slips[i]
		if sl.DoubtOnly {
			continue
		}
		if slices.ContainsFunc(sl.Recs, func(r *order.Rec) bool { return r.DraftedOn(w.Device, first) }) {
			out = append(out, c.TellSlip(sl, order.IDsOf(sl.Recs), true, sl.Recs[len(sl.Recs)-1].Log.ID == w.Device.Log() && sl.Recs[len(sl.Recs)-1].Seq >= first))
		}
	}
	return out
}

// mayBeSlip says whether some slip is about bodies of its kind.
func mayBeSlip(b entry.Body) bool {
	switch b := b.(type) {
	case nil: // an amendment without a body, which is refused elsewhere
		return false
	case *entry.Amended:
		return mayBeSlip(b.Body)
	case *entry.Unknown:
		return false
	}
	return mayBeSlips[b.Kind()](b)
}

// mayBeSlips has a row for each kind, by its number: whether some slip is about
// a body of it. A test fails without.
var mayBeSlips = [entry.LastKind + 1]func(entry.Body) bool{
	entry.KindFilled: always, entry.KindVolumeFilled: always, entry.KindDrained: always, entry.KindLevelRead: always,
	entry.KindCaught: always, entry.KindDialMoved: always, entry.KindMeterRead: always, entry.KindCounterStood: always,
	entry.KindBagsOut: always, entry.KindDrillSet: always, entry.KindBoxSet: always, entry.KindGroundSet: always,
	entry.KindLotSet: always, entry.KindLabelSet: always, entry.KindChartPointSet: always, entry.KindPlanSet: always,
	entry.KindGroundFinished: func(b entry.Body) bool { return b.(*entry.GroundFinished).Finished },

	entry.KindNoted: never, entry.KindBagsIn: never, entry.KindVolumeWeighed: never, entry.KindDialMarked: never,
	entry.KindCounterReset: never, entry.KindStandCounted: never, entry.KindPinned: never, entry.KindErrand: never,
	entry.KindChecksSet: never, entry.KindHitchBegun: never, entry.KindItemSigned: never, entry.KindHoldRaised: never,
	entry.KindHoldReleased: never, entry.KindHoldSeen: never, entry.KindDrillMoved: never, entry.KindUnhitched: never,
	entry.KindAmended: never, // but its body may be
	entry.KindStruck:  never, entry.KindSettled: never,
	entry.KindFarmFounded: never, entry.KindInvited: never, entry.KindDeviceEnrolled: never, entry.KindMemberAdded: never,
	entry.KindMemberChanged: never, entry.KindMemberStopped: never, entry.KindDeviceStopped: never,
	entry.KindDeviceTakenIn: never, entry.KindRecovered: never, entry.KindAdmitted: never,
}

func always(entry.Body) bool { return true }
func never(entry.Body) bool  { return false }

// draft applies bodies as a device's next entries, written in the knowledge of
// all that is here, and gives the number of the first.
func (s *core) draft(w Writer, bodies []entry.Body) (first uint64) {
	d := s.LogOf(w.Device.Log())
	first = d.Held() + 1
	var latest hlc.Time
	for _, r := range s.InPlace {
		latest = hlc.Later(latest, r.Clock, w.Wall)
	}
	seen := slices.DeleteFunc(s.Applied(), func(m entry.Mark) bool { return m.Log == w.Device.Log() })
	for i, b := range bodies {
		clock := hlc.Next(latest, w.Wall)
		latest = clock
		id := entry.ID{Log: w.Device.Log(), Seq: first + uint64(i)}
		s.apply(entry.Entry{ID: id, Clock: clock, Wall: w.Wall, Person: w.Person, Seen: seen, Body: b})
		seen = nil
	}
	return first
}

// Trial is a state as it would be if a writer went on.
type Trial struct {
	state *core
	by    Writer
}

// Write adds an entry, written in the knowledge of all that is here, and gives
// the number that it would have.
func (t *Trial) Write(b entry.Body) entry.ID {
	return entry.ID{Log: t.by.Device.Log(), Seq: t.state.draft(t.by, []entry.Body{b})}
}

// State is how it stands with what was tried.
func (t *Trial) State() *State { return &State{t.state} }
