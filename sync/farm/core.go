package farm

import (
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/slip"
	"turnrow/sync/farm/view"
)

// core is the rooms of a farm, one in the other, and what drives entries through
// them.
type core struct {
	slip.Slips
	view *view.View // of the state as it is; nil when it must be made anew
}

func newCore(id entry.FarmID) *core {
	s := &core{}
	s.FarmID, s.Index, s.Nobody = id, map[entry.LogID]*order.Log{}, map[*order.Rec]entry.ID{}
	s.Reset()
	return s
}

func (s *core) apply(es ...entry.Entry) {
	for i := range es {
		d := s.LogOf(es[i].Log)
		switch {
		case es[i].Seq <= d.Held()+uint64(len(d.Wait)):
		case len(d.Wait) == 0 && s.ready(&es[i]):
			s.admit(d, &es[i])
		default:
			d.Wait = append(d.Wait, es[i])
			s.WaitCount++
			s.changed()
		}
	}
	s.wake()
	s.Rejudge()
}

// ready says whether all that the entry's writer had seen is in its place, and of
// logs that everybody keeps.
func (s *core) ready(e *entry.Entry) bool {
	d := s.Known(e.Log)
	if d.Base > 0 && d.Root.Held() < d.Base {
		return false
	}
	for _, m := range e.Seen {
		r := s.Find(m.ID())
		if r == nil || r.Hash != m.Hash {
			return false // or it is of a branch that is not here
		}
		if r.Log.Signer() != d.Signer() && !s.WasIn(r.Log) {
			return false
		}
	}
	return true
}

// wake admits entries that waited and need not any more.
func (s *core) wake() {
	for again := s.WaitCount > 0; again; {
		again = false
		for _, d := range s.Logs {
			for len(d.Wait) > 0 && s.ready(&d.Wait[0]) {
				e := d.Wait[0]
				d.Wait = d.Wait[1:]
				s.WaitCount--
				s.admit(d, &e)
				again = true
			}
		}
	}
}

// admit puts an entry, whose causes are all here, in its place.
func (s *core) admit(d *order.Log, e *entry.Entry) {
	if s.Stale && !rule.AboutCrew(e.Body.Kind()) {
		s.Rejudge()
	}
	if len(d.Recs) == 0 && d.Root != nil {
		s.Begin(d)
		s.Follows(d)
	}
	if len(e.Seen) > 0 || d.Vec == nil {
		d.Vec = s.Know(d, e.Seen)
	}
	r := s.NewRec()
	*r = order.Rec{Log: d, Seq: e.Seq, Hash: e.Hash, Clock: e.Clock, Wall: e.Wall, Vec: d.Vec, Body: e.Body}
	r.Place = s.PlaceOf(r, e.Seen)
	d.Recs = append(d.Recs, r)
	s.InPlace = append(s.InPlace, r)
	s.changed()
	for _, m := range s.NewlySeen(r) {
		s.CheckClock(r, s.Find(m.ID()))
	}
	s.Settle(r, e.Person)
}

// A device that goes on from an old copy writes two logs under one name. What
// they have in common stays the device's own; each branch beyond it is a
// device of its own here, under the name that package chain gives it, whose
// entries are numbered on. Both count; only who stops one stops all.

func (s *core) branch(name entry.LogID, of entry.ID) {
	if name == chain.Full(of.Log.Device()) {
		s.LogOf(of.Log).Full = true
		return
	}
	d := s.LogOf(name)
	d.Root, d.Base = s.LogOf(of.Log), of.Seq
	s.Branches = append(s.Branches, d)
	d.Signer().Branches = append(d.Signer().Branches, d)
	s.changed()
}

func (s *core) now() *view.View {
	return s.nowBy(view.InTurn)
}

func (s *core) nowBy(each func(n int, do func(i int))) *view.View {
	if s.view == nil {
		s.view = s.makeView(each)
	}
	return s.view
}

// changed forgets what was worked out of the state as it was.
func (s *core) changed() { s.view = nil }

func (s *core) makeView(each func(n int, do func(i int))) *view.View {
	v, boxes, flows := s.Made(each)
	runs, open := s.doubts(v, boxes, flows)
	view.Doubted(v, inARow(runs), open)
	return v
}
