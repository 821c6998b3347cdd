package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// drillFacts is what is set of a drill.
func (s *workSt) drillFacts(t *thing) Drill {
	num := func(n int) int64 { v, _ := t.num(n); return v }
	d := Drill{
		ID: t.id, Name: t.text(drillName), Rows: num(drillRows), Spacing: units.Length(num(drillSpacing)),
		Width: units.Length(num(drillWidth)), Roll: units.Length(num(drillRoll)),
		WheelTurns: units.Turns(num(drillWheelTurns)), Counter: entry.CounterKind(num(drillCounter)),
		CounterTurns: units.Turns(num(drillCounterTurns)),
	}
	if d.Width == 0 && d.Rows > 0 && d.Spacing > 0 {
		if w, err := rate.Width(int(d.Rows), d.Spacing); err == nil {
			d.Width = w
		}
	}
	d.RollSet, d.TurnsSet = d.Roll > 0, d.WheelTurns > 0
	s.wheel(&d)
	return d
}

// wheel works out a roll from turns to the acre, or the other way round.
func (s *workSt) wheel(d *Drill) {
	if d.Width == 0 {
		return
	}
	if d.WheelTurns == 0 && d.Roll > 0 {
		if n, err := rate.TurnsPerAcre(d.Roll, d.Width); err == nil {
			d.WheelTurns = n
		}
	}
	if d.Roll == 0 && d.WheelTurns > 0 {
		// roll = acre ÷ (turns × width): 1 cm² is 1e8 µm², and turns are thousandths.
		const acre1000 = 40_468_564_224 // an acre in cm², times 1,000
		if perWidth, err := units.MulDiv(acre1000, 1e8, int64(d.Width)); err == nil {
			if roll, err := units.MulDiv(perWidth, 1, int64(d.WheelTurns)); err == nil {
				d.Roll = units.Length(roll)
			}
		}
	}
}

func (s *viewSt) drillView(t *thing) Drill {
	d := s.drillFacts(t)
	d.Hitch = s.hitchNow(t.id)
	if h := s.hitchOf(t.id, nil); h.moved != nil {
		d.State = h.moved.eff.(*entry.DrillMoved).State
	}
	for _, p := range s.counterOf(t).back {
		d.Back = append(d.Back, p.rec.id())
	}
	pts := s.counterOf(t).points
	for _, p := range pts {
		d.Readings = append(d.Readings, Reading{
			Entry: p.rec.id(), Reading: p.total - p.offset, Ground: p.ground, Total: p.total, From: p.from,
			Area: s.worked(t, &p), Begin: p.begin, Open: p.open, Checked: p.times != 0,
		})
	}
	moves := s.counterOf(t).moves
	d.Seen = len(moves) > 0
	for _, m := range moves {
		if m.ofBox {
			d.Marks = append(d.Marks, m.rec.id())
		}
	}
	for _, c := range s.counterOf(t).corrections {
		d.Marks = append(d.Marks, c.rec.id())
		d.Correction = c.times
	}
	d.Pace = s.pace(t, pts)
	if n := len(d.Readings); n > 0 {
		d.Reading = &d.Readings[n-1]
	}
	return d
}
