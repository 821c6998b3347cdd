package view

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
)

func (s *Views) drillView(t *thing.Thing) work.Drill {
	d := s.DrillFacts(t)
	d.Hitch = s.HitchNow(t.ID)
	if h := s.HitchOf(t.ID, nil); h.Moved != nil {
		d.State = h.Moved.Eff.(*entry.DrillMoved).State
	}
	for _, p := range s.CounterOf(t).Back {
		d.Back = append(d.Back, p.Rec.ID())
	}
	pts := s.CounterOf(t).Points
	for _, p := range pts {
		d.Readings = append(d.Readings, work.Reading{
			Entry: p.Rec.ID(), Reading: p.Total - p.Offset, Ground: p.Ground, Total: p.Total, From: p.From,
			Area: s.Worked(t, &p), Begin: p.Begin, Open: p.Open, Checked: p.Times != 0,
		})
	}
	moves := s.CounterOf(t).Moves
	d.Seen = len(moves) > 0
	for _, m := range moves {
		if m.OfBox {
			d.Marks = append(d.Marks, m.Rec.ID())
		}
	}
	for _, c := range s.CounterOf(t).Corrections {
		d.Marks = append(d.Marks, c.Rec.ID())
		d.Correction = c.Times
	}
	d.Pace = s.pace(t, pts)
	if n := len(d.Readings); n > 0 {
		d.Reading = &d.Readings[n-1]
	}
	return d
}
