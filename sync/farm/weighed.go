package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// counterDoubt is the relative standard uncertainty of an area from the
// counter: our own assumption, no source.
const counterDoubt = 0.02

// weighedRun is what went into and out of a whole box since its contents were
// last known, as long as it held one lot at one dial.
type weighedRun struct {
	start, poured, drained rate.Weighed
	area                   units.Area
	lot                    entry.ID
	dial                   units.Dial
	clean                  bool
}

// weighedOut is the rate that really went out over such a run.
type weighedOut struct {
	lot  entry.ID
	dial units.Dial
	area units.Area
	out  rate.Out
}

func (w *weighedRun) pour(lot entry.ID, m rate.Weighed) {
	w.clean = w.clean && (w.lot.IsZero() || w.lot == lot)
	w.lot = lot
	w.poured = w.poured.Plus(m)
}

func (w *weighedRun) work(area units.Area, dials []dialAt) {
	if area == 0 {
		return
	}
	for _, d := range dials {
		w.clean = w.clean && d.set && d.dial == dials[0].dial
	}
	w.clean = w.clean && (w.area == 0 || w.dial == dials[0].dial)
	w.area += area
	w.dial = dials[0].dial
}

// whole says whether a side stands for all of the box.
func (f *flow) whole(side int) bool { return side == rate.AllSides || len(f.seed.Sides) == 1 }

// closeRun ends a run by what is left in the box, and takes what went out as a
// measurement where one lot went out at one dial.
func (f *flow) closeRun(w weighedRun, side int, left rate.Weighed) {
	if !f.whole(side) {
		f.run.clean = false
		return
	}
	f.run = weighedRun{start: left, lot: w.lot, clean: true}
	if !w.clean || w.area <= 0 || w.lot.IsZero() {
		f.run.clean = w.clean || left.Mass == 0
		return
	}
	out, err := rate.Stretch{Filled: w.start.Plus(w.poured), Left: left, Drained: w.drained, Area: w.area, AreaDoubt: counterDoubt}.Out()
	if err == nil {
		f.outs = append(f.outs, weighedOut{w.lot, w.dial, w.area, out})
	}
}

// note keeps what is in the box after a step, for the pictures.
func (f *flow) note(st step) {
	if !f.track {
		return
	}
	m := Moment{Total: st.at, Dial: f.dials[0].dial}
	if st.event != nil {
		m.Entry = st.event.rec.id()
	} else {
		m.Entry = st.work.rec.id()
	}
	for _, side := range f.seed.Sides {
		m.Left += side.Mass()
		m.LeftStd += side.Doubt()
	}
	f.moments = append(f.moments, m)
}

// Moment is what was in a box after something happened to it, along the
// counter.
type Moment struct {
	Entry         entry.ID      // what happened, or the reading that ended a stretch
	Total         units.Reading // of the drill's counter, with resets added
	Left, LeftStd units.Mass
	Dial          units.Dial
}

// Track follows the seed in a box along the counter; none where there is no
// such box.
func (s *State) Track(boxID entry.ID) []Moment {
	t, ok := s.things[boxID]
	if !ok || t.kind != box {
		return nil
	}
	s.View() // what it rests on is found there
	return s.followed(t, s.drillFor(t), true).moments
}

// CaughtRate is a catch with the rate that it shows.
type CaughtRate struct {
	Entry entry.ID
	Lot   entry.ID
	Dial  units.Dial
	Rate  rate.CatchRate
}

// Curve is what a box gives of a lot at each dial: the fit, and the catches
// and weighed runs behind it.
type Curve struct {
	Fit     rate.Fit
	Catches []CaughtRate
	Outs    []rate.Measured
}

// Curve fits a box's curve for a lot. It gives the rate engine's errors, such
// as rate.ErrNothingKnown.
func (s *State) Curve(boxID, lotID entry.ID) (Curve, error) {
	t, ok := s.things[boxID]
	if !ok || t.kind != box {
		return Curve{}, rate.ErrNothingKnown
	}
	s.View() // what it rests on is found there
	f := s.followed(t, s.drillFor(t), false)
	fit, err := s.fit(t, f.drill, lotID, f.given)
	if err != nil {
		return Curve{}, err
	}
	c := Curve{Fit: fit}
	for r := range t.did(entry.KindCaught) {
		b := r.eff.(*entry.Caught)
		if !s.likeSeed(b.Lot, lotID) {
			continue
		}
		if cr, err := s.catchRate(b, f.drill); err == nil {
			c.Catches = append(c.Catches, CaughtRate{r.id(), b.Lot, b.Dial, cr})
		}
	}
	for _, o := range f.given {
		if s.likeSeed(o.lot, lotID) {
			c.Outs = append(c.Outs, o.out.Measured(o.dial))
		}
	}
	return c, nil
}
