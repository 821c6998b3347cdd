package simtest

import (
	"fmt"
	"reflect"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Traced checks rule 5 at a place: what a figure names as the entries behind it
// are all that are behind it. All other facts are put out of the record, a note
// in the place of each, and the figure must stay as it was.
func (w *World) Traced(p *Place) error {
	v := p.View()
	for _, b := range v.Boxes {
		behind := slices.Clone(b.Events)
		for _, d := range v.Drills {
			if d.ID == b.Drill {
				behind = append(behind, readings(d)...)
			}
		}
		again := w.without(p, behind)
		got, _ := again.BoxOf(b.ID)
		if got.Left != b.Left || got.Dial != b.Dial || !reflect.DeepEqual(got.Seed, b.Seed) {
			return fmt.Errorf("rule 5: box %s holds %s, by the entries behind it %s", b.Name, b.Left, got.Left)
		}
	}
	for _, g := range v.Grounds {
		behind := slices.Clone(g.Events)
		for _, d := range v.Drills {
			behind = append(behind, readings(d)...)
		}
		if got, _ := w.without(p, behind).GroundOf(g.ID); got.Done != g.Done || g.Open && !got.Open {
			return fmt.Errorf("rule 5: %s done on %s, by the entries behind it %s", g.Done, g.Name, got.Done)
		}
	}
	for _, d := range v.Drills {
		if !d.Hitch.Ready {
			continue
		}
		behind := []entry.ID{d.Hitch.Begun, d.Hitch.Checks}
		for _, s := range d.Hitch.Signed {
			behind = append(behind, s.Entry)
		}
		for _, h := range d.Hitch.Released {
			behind = append(behind, h.Release)
		}
		if got, _ := w.without(p, behind).DrillOf(d.ID); !got.Hitch.Ready {
			return fmt.Errorf("rule 5: drill %s is ready, but not by the entries behind that: %v", d.Name, got.Hitch.Missing)
		}
	}
	return nil
}

// readings are the entries behind a drill's counter.
func readings(d farm.Drill) []entry.ID {
	ids := slices.Clone(d.Marks)
	for _, r := range d.Readings {
		ids = append(ids, r.Entry)
	}
	return ids
}

// without is the farm as it would be if, of the facts of the day, only some had
// been written. What is set, who belongs, and what is said of entries stays.
func (w *World) without(p *Place, keep []entry.ID) *farm.View {
	es, branches := p.Record()
	s := farm.New(w.Farm)
	for _, b := range branches {
		s.Branch(b.Name, b.Of)
	}
	for _, e := range es {
		if ofTheDay(e.Body) && !slices.Contains(keep, e.ID) {
			e.Body = &entry.Noted{Text: "something else"}
		}
		s.Apply(e)
	}
	return s.View()
}

// ofTheDay says whether a body is a fact that happened on some day, other than
// a reset of the counter, on which every figure of it rests.
func ofTheDay(b entry.Body) bool {
	_, unread := b.(*entry.Unknown)
	return !unread && bears[b.Kind()] == fact
}

// bearing is what a kind is to the figures of a day.
type bearing uint8

const (
	fact  bearing = iota + 1 // it happened, and a figure rests on it or does not
	given                    // every figure may rest on it: what is set, said of entries, or of the crew
)

// bears has a row for each kind, by its number. A test fails without.
var bears = [entry.LastKind + 1]bearing{
	entry.KindFilled: fact, entry.KindVolumeFilled: fact, entry.KindDrained: fact, entry.KindLevelRead: fact,
	entry.KindCaught: fact, entry.KindDialMoved: fact, entry.KindMeterRead: fact, entry.KindCounterStood: fact,
	entry.KindGroundFinished: fact, entry.KindStandCounted: fact, entry.KindBagsIn: fact, entry.KindBagsOut: fact,
	entry.KindNoted: fact, entry.KindPinned: fact, entry.KindErrand: fact,
	entry.KindHitchBegun: fact, entry.KindItemSigned: fact, entry.KindChecksSet: fact, entry.KindHoldReleased: fact,
	entry.KindHoldSeen:   fact,
	entry.KindDrillMoved: fact, entry.KindUnhitched: fact,

	entry.KindHoldRaised: given, entry.KindCounterReset: given,
	entry.KindVolumeWeighed: given, entry.KindDialMarked: given, entry.KindLabelSet: given, entry.KindGroundSet: given,
	entry.KindDrillSet: given, entry.KindBoxSet: given, entry.KindChartPointSet: given, entry.KindLotSet: given,
	entry.KindPlanSet: given,
	entry.KindAmended: given, entry.KindStruck: given, entry.KindSettled: given,
	entry.KindFarmFounded: given, entry.KindInvited: given, entry.KindDeviceEnrolled: given, entry.KindMemberAdded: given,
	entry.KindMemberChanged: given, entry.KindMemberStopped: given, entry.KindDeviceStopped: given,
	entry.KindDeviceTakenIn: given, entry.KindRecovered: given, entry.KindAdmitted: given,
}
