package farm

import (
	"slices"

	"turnrow/sync/entry"
)

// viewSt makes what people read.
type viewSt struct{ workSt }

// View is the state as people read it. It is made once for each state and is
// good for ever.
func (s *State) View() *View {
	return s.ViewBy(inTurn)
}

// inTurn does n things one after the other.
func inTurn(n int, do func(i int)) {
	for i := range n {
		do(i)
	}
}

// ViewBy is View, for who has several processors: each is to call do for each
// number from 0 up to n, in whatever order or all at once, and to return when
// all have returned.
func (s *State) ViewBy(each func(n int, do func(i int))) *View {
	if s.view == nil {
		s.view = s.makeView(each)
	}
	return s.view
}

// changed forgets what was worked out of the state as it was.
func (s *State) changed() { s.view = nil }

func (s *State) makeView(each func(n int, do func(i int))) *View {
	v, boxes, flows := s.made(each)
	runs, open := s.doubts(v, boxes, flows)
	v.doubts, v.Open = inARow(runs), open
	return v
}

// made is a view but for what is in doubt, and the boxes and flows behind it.
func (s *viewSt) made(each func(n int, do func(i int))) (*View, []*thing, []*flow) {
	v := &View{Farm: s.id, Entries: len(s.order) + s.waiting, Waiting: s.waiting, names: map[entry.ID]string{}}
	if b, ok := s.Founding(); ok {
		v.Name, v.TimeZone, v.Metric, v.MoneySign = b.Name, b.TimeZone, b.Metric, b.MoneySign
	}
	s.crewView(v)
	s.makeLines()
	for _, t := range s.sorted(drill) {
		v.Drills = append(v.Drills, s.drillView(t))
	}
	s.prepare()
	filled := s.filled()
	for _, t := range s.sorted(lot) {
		v.Lots = append(v.Lots, s.lotView(t, filled))
	}
	for _, t := range s.sorted(ground) {
		v.Grounds = append(v.Grounds, s.groundView(t, v))
	}
	boxes := s.sorted(box)
	flows := make([]*flow, len(boxes))
	drills := make([]*thing, len(boxes))
	for i, t := range boxes {
		drills[i] = s.drillFor(t)
	}
	v.Boxes = append(v.Boxes, make([]Box, len(boxes))...)
	each(len(boxes), func(i int) {
		flows[i] = s.followed(boxes[i], drills[i], false)
		v.Boxes[i] = s.boxView(boxes[i], flows[i])
	})
	for i, t := range boxes {
		v.Boxes[i].rateNow(flows[i], v)
		v.Boxes[i].ahead(flows[i], v)
		s.sow(v, t, flows[i])
	}
	for _, r := range s.checks.all() {
		b := r.eff.(*entry.ChecksSet)
		v.Checks = append(v.Checks, Checklist{r.id(), b.Version, b.Items})
	}
	v.Spots, v.Errands = s.spots(), s.asks()
	return v, boxes, flows
}

// sorted is the things of a kind that have a maker, in the total order of
// their making.
func (s *thingSt) sorted(k thingKind) []*thing {
	ts := make([]*thing, 0, len(s.byKind[k]))
	for _, t := range s.byKind[k] {
		if t.made != nil && t.text(nameField(k)) != "" {
			ts = append(ts, t)
		}
	}
	slices.SortFunc(ts, func(a, b *thing) int { return a.made.compare(b.made) })
	return ts
}

func nameField(k thingKind) int {
	if k == box {
		return boxName
	}
	return groundName // the same number for all others
}

func (s *viewSt) crewView(v *View) {
	for k := range thingKind(len(thingNames)) {
		for _, t := range s.sorted(k) {
			v.names[t.id] = t.text(nameField(k))
		}
	}
	for id := range s.joins { // order does not matter: each key is set once
		v.names[id] = v.names[s.canon(id)]
	}
	for _, t := range s.sorted(person) {
		role, stopped := s.stand.personNow(t.id)
		v.Crew = append(v.Crew, Member{t.id, t.text(memberName), role, stopped})
	}
	v.Devices = s.Devices()
}

// Founding is the farm's first entry; false until it is here.
func (s *crewSt) Founding() (*entry.FarmFounded, bool) {
	if s.founded == nil {
		return nil, false
	}
	return s.founded.body.(*entry.FarmFounded), true
}

// Devices are the devices that the record names, in order of their IDs.
func (s *crewSt) Devices() (all []Device) {
	ds := slices.Clone(s.devices)
	slices.SortFunc(ds, func(a, b *device) int { return a.id.Compare(b.id) })
	for _, d := range ds {
		if dv, ok := s.Device(d.id); ok {
			all = append(all, dv)
		}
	}
	return all
}

// Device is a device that the record names, whether its place stands or not.
func (s *crewSt) Device(id entry.DeviceID) (Device, bool) {
	d, ok := s.index[id]
	if !ok || d.rooted() != d || len(d.recs) == 0 || d.key == (entry.Key{}) {
		return Device{}, false
	}
	out := Device{ID: d.id, Name: d.name, Key: d.key, Joined: d.joined, Entries: uint64(len(d.recs))}
	out.Last, _ = s.Held(id, 0)
	if p := s.post(d); p != nil {
		out.Stopped, out.Refused, out.Porter = p.stopped(), p.refused(), p.porter()
		out.Role = p.now()
	}
	out.Forked = d.full
	for _, b := range s.branches {
		if b.signs() == d.id {
			out.Forked = true
			out.Entries += uint64(len(b.recs))
		}
	}
	if d.person != nil {
		out.Person = *d.person
	}
	return out, true
}
