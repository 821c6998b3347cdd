package client

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Read is a reading of a drill's counter, and the piece of ground that was
// worked since the reading before it.
type Read struct {
	Drill   entry.ID
	Reading units.Reading
	Ground  entry.ID // zero only on a farm that has set no ground yet
	Note    string
}

func (m Read) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.counter(v, m.Drill)
	if !m.Ground.IsZero() || len(v.Grounds) > 0 {
		r.ground(v, m.Ground)
	}
	return r.or(&entry.MeterRead{Drill: m.Drill, Reading: m.Reading, Ground: m.Ground, Note: m.Note})
}

// Begin is where a drill's counter stands as work begins, on its first day and
// whenever others had it: no area follows from it.
type Begin struct {
	Drill   entry.ID
	Reading units.Reading
	Ground  entry.ID // that work begins on; zero where nobody said
	Why     string
}

func (b Begin) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.counter(v, b.Drill)
	if !b.Ground.IsZero() {
		r.ground(v, b.Ground)
	}
	return r.or(&entry.CounterStood{Drill: b.Drill, Reading: b.Reading, Ground: b.Ground, Why: b.Why})
}

// counter checks that what a drill's counter counts is known.
func (r *refusing) counter(v *farm.View, drill entry.ID) {
	if d, ok := r.drill(v, drill); ok {
		r.because(d.Counter == entry.NoCounter, "drill", CounterUnknown, d.Name)
	}
}

// Reset is that a drill's counter was set back, or rolled over, and nothing was
// worked between.
type Reset struct {
	Drill entry.ID
	From  units.Reading // what it showed last
	To    units.Reading // what it showed then
	Why   string
}

func (s Reset) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.drill(v, s.Drill)
	return r.or(&entry.CounterReset{Drill: s.Drill, From: s.From, To: s.To, Why: s.Why})
}

// Finish is that a piece of ground is finished, or is not after all.
type Finish struct {
	Ground  entry.ID
	Drill   entry.ID
	Reading entry.Opt[units.Reading]
	Not     bool // it is not finished after all
	// Correct takes the counter from here on for as much more or less as the
	// piece's area says.
	Correct bool
}

func (f Finish) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	g := r.ground(v, f.Ground)
	d, ok := r.drill(v, f.Drill)
	b := &entry.GroundFinished{Ground: f.Ground, Drill: f.Drill, Reading: f.Reading, Finished: !f.Not}
	r.because(f.Not && f.Correct, "correct", TwoAmounts, "")
	if ok && f.Correct {
		h := g.HeldAgainst(&d)
		b.Correction = entry.Some(h.Correct)
		r.because(h.Correct == 0, "correct", NoCorrection, g.Name)
	}
	return r.or(b)
}

// Stand is plants counted on a piece of ground, a number for each throw of a
// frame, or for each length of row.
type Stand struct{ entry.StandCounted }

func (s Stand) bodies(on *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	b := &s.StandCounted
	r.ground(v, b.Ground)
	r.because(b.Frame == 0 && b.Row == 0, "frame", NoAmount, "")
	r.because(b.Frame > 0 && b.Row > 0, "row", TwoAmounts, "")
	r.because(b.Row > 0 && b.Spacing == 0, "spacing", Missing, "")
	r.because(len(b.Counts) == 0, "counts", Missing, "")
	r.day(on, "day", "day", entry.Some(b.Day), StandYears)
	if len(r.list) == 0 {
		r.stand(b)
	}
	return r.or(b)
}

func (r *refusing) stand(b *entry.StandCounted) {
	frame := b.Frame
	if b.Row > 0 {
		var err error
		if frame, err = rate.FrameOfRow(b.Row, b.Spacing); err != nil {
			r.failed(err, "row", NoStand, "")
			return
		}
	}
	for _, c := range b.Counts {
		_, err := rate.StandOf(frame, c.Plants)
		r.failed(err, "counts", NoStand, c.Species)
	}
}
