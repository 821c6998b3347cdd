package view

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
)

// Views makes what people read.
type Views struct{ work.Work }

// InTurn does n things one after the other.
func InTurn(n int, do func(i int)) {
	for i := range n {
		do(i)
	}
}

// Made is a view but for what is in doubt, and the boxes and flows behind it.
func (s *Views) Made(each func(n int, do func(i int))) (*View, []*thing.Thing, []*work.Flow) {
	v := &View{Farm: s.FarmID, Entries: len(s.InPlace) + s.WaitCount, Waiting: s.WaitCount, names: map[entry.ID]string{}}
	if b, ok := s.Founding(); ok {
		v.Name, v.TimeZone, v.Metric, v.MoneySign = b.Name, b.TimeZone, b.Metric, b.MoneySign
	}
	s.crewView(v)
	s.MakeLines()
	for _, t := range s.Sorted(thing.Drill) {
		v.Drills = append(v.Drills, s.drillView(t))
	}
	s.Prepare()
	filled := s.Filled()
	for _, t := range s.Sorted(thing.Lot) {
		v.Lots = append(v.Lots, s.lotView(t, filled))
	}
	for _, t := range s.Sorted(thing.Ground) {
		v.Grounds = append(v.Grounds, s.groundView(t, v))
	}
	boxes := s.Sorted(thing.Box)
	flows := make([]*work.Flow, len(boxes))
	drills := make([]*thing.Thing, len(boxes))
	for i, t := range boxes {
		drills[i] = s.DrillFor(t)
	}
	v.Boxes = append(v.Boxes, make([]Box, len(boxes))...)
	each(len(boxes), func(i int) {
		flows[i] = s.Followed(boxes[i], drills[i], false)
		v.Boxes[i] = s.boxView(boxes[i], flows[i])
	})
	for i, t := range boxes {
		v.Boxes[i].rateNow(flows[i], v)
		v.Boxes[i].ahead(flows[i], v)
		s.sow(v, t, flows[i])
	}
	for _, r := range s.Checks.All() {
		b := r.Eff.(*entry.ChecksSet)
		v.Checks = append(v.Checks, work.Checklist{ID: r.ID(), Version: b.Version, Items: b.Items})
	}
	v.Spots, v.Errands = s.spots(), s.asks()
	return v, boxes, flows
}

func (s *Views) crewView(v *View) {
	for k := range thing.ThingKind(len(thing.ThingNames)) {
		for _, t := range s.Sorted(k) {
			v.names[t.ID] = t.Text(thing.NameField(k))
		}
	}
	for id := range s.Joins { // order does not matter: each key is set once
		v.names[id] = v.names[s.Canon(id)]
	}
	for _, t := range s.Sorted(thing.Person) {
		role, stopped := s.Membership.PersonNow(t.ID)
		v.Crew = append(v.Crew, Member{t.ID, t.Text(thing.MemberName), role, stopped})
	}
	v.Devices = s.Devices()
}
