package work

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// weighedRun is what went into and out of a whole box since its contents were
// last known, as long as it held one lot.
type weighedRun struct {
	stretch rate.Stretch
	lot     entry.ID
	dials   []units.Dial // that it was worked at
	crank   units.Mass   // what crank and chart alone say went out
	known   bool         // they say so for all of it
	clean   bool
	joined  bool // it began with what ended the last of the weighed stretches
}

// weighedOut is the rate that really went out over runs end to end, at one
// dial or at several in turn.
type weighedOut struct {
	Lot     entry.ID
	Dials   []units.Dial
	Stretch rate.Stretch
	crank   rate.RateEstimate // what crank and chart alone say of it; no rate where they say nothing
	Out     rate.Out
}

func newRun(start rate.Weighed) weighedRun {
	return weighedRun{stretch: rate.Stretch{Start: start}, known: true, clean: true}
}

func (w *weighedRun) pour(lot entry.ID, m rate.Weighed) {
	w.clean = w.clean && (w.lot.IsZero() || w.lot == lot)
	w.lot = lot
	w.stretch.Poured = w.stretch.Poured.Plus(m)
}

// workRun adds a stretch that was worked to the run.
func (f *Flow) workRun(area units.Area) {
	w := &f.run
	if area == 0 {
		return
	}
	w.stretch.Area += area
	for i, d := range f.Dials {
		w.clean = w.clean && d.Set
		if !slices.Contains(w.dials, d.Dial) {
			w.dials = append(slices.Clip(w.dials), d.Dial)
		}
		if w.lot.IsZero() || !w.known {
			continue
		}
		crank, _, err := f.Crank(w.lot, d.Dial)
		if err != nil {
			w.known = false
			continue
		}
		if m, err := crank.Standing.Rate.On(area); err == nil {
			part, _ := units.MulDiv(int64(m), int64(f.Seed.Sides[i].Rows), f.Rows())
			w.crank += units.Mass(part)
		}
	}
}

// whole says whether a side stands for all of the box.
func (f *Flow) whole(side int) bool { return side == rate.AllSides || len(f.Seed.Sides) == 1 }

// closeRun ends a run by what is left in the box, and takes what went out as a
// measurement where it was of one lot.
func (f *Flow) closeRun(w weighedRun, side int, left rate.Weighed) {
	if !f.whole(side) {
		f.run.clean, f.run.joined = false, false
		return
	}
	f.run = newRun(left)
	f.run.lot = w.lot
	w.stretch.Left = left
	if !w.clean || w.stretch.Area <= 0 || w.lot.IsZero() || !w.known && len(w.dials) > 1 {
		f.run.clean = w.clean || left.Mass == 0
		return
	}
	o, ok := w.out()
	if !ok {
		return
	}
	alone := o
	f.Last, f.Before = &alone, nil
	if n := len(f.Outs); w.joined && n > 0 && f.Outs[n-1].Lot == o.Lot {
		f.Before = &f.Outs[n-1]
		if joined, ok := f.Outs[n-1].join(o); ok {
			f.Outs = slices.Clone(f.Outs[:n-1]) // what was before stands in f.before
			o = joined
		}
	}
	f.Outs = append(f.Outs, o)
	f.run.joined = true
	f.OnLevel = true
	clear(f.rates)
}

func (w *weighedRun) out() (o weighedOut, ok bool) {
	o = weighedOut{Lot: w.lot, Dials: w.dials, Stretch: w.stretch}
	var err error
	if o.Out, err = w.stretch.Out(); err != nil {
		return o, false
	}
	if w.known && w.crank > 0 {
		o.crank.Rate, err = w.crank.Over(w.stretch.Area)
	}
	return o, err == nil
}

// join is two runs end to end at one dial as one.
func (o weighedOut) join(next weighedOut) (weighedOut, bool) {
	if len(o.Dials) != 1 || !slices.Equal(o.Dials, next.Dials) {
		return next, false
	}
	next.Stretch = o.Stretch.Join(next.Stretch)
	var err error
	next.Out, err = next.Stretch.Out()
	return next, err == nil
}

// Proves says whether a run was weighed with a lot at a dial.
func (f *Flow) Proves(l entry.ID, dial units.Dial) bool {
	return slices.ContainsFunc(f.Outs, func(o weighedOut) bool { return o.Lot == l && slices.Contains(o.Dials, dial) })
}

// Crank is what crank and chart say of a lot at a dial, and what that rests on.
func (f *Flow) Crank(l entry.ID, dial units.Dial) (rate.Crank, rate.Basis, error) {
	w := f.waysAt(l, dial)
	if w.Err != nil {
		return rate.Crank{}, "", w.Err
	}
	c := rate.Crank{Caught: w.Crank.Basis() != rate.FromChart, Driven: w.Crank.Way() == rate.Moving}
	var err error
	if c.Standing, err = w.Crank.RateAt(dial); err != nil {
		return rate.Crank{}, "", err
	}
	if w.both {
		if est, err := w.Moving.RateAt(dial); err == nil {
			c.Moving = &est
		}
	}
	return c, w.Crank.Basis(), nil
}

// caughtWays is a box's curve for a lot by how it was caught: see CrankFit and
// movingFit.
type caughtWays struct {
	Crank, Moving rate.Fit
	both          bool
	Err           error
}

// Ways fits a box's curves for a lot once for each look at the box.
func (f *Flow) Ways(l entry.ID) caughtWays {
	if w, ok := f.fits[l]; ok {
		return w
	}
	var w caughtWays
	w.Crank, w.Err = f.Work.CrankFit(f.Box, f.Drill, l)
	w.Moving, w.both = f.Work.movingFit(f.Box, f.Drill, l)
	if f.fits == nil {
		f.fits = map[entry.ID]caughtWays{}
	}
	f.fits[l] = w
	return w
}

// field is what a box gives of a lot at a dial in the field: by crank and chart,
// and by what was weighed out of it so far. A box of which neither chart nor
// catch is known goes by what was weighed alone.
func (f *Flow) field(l entry.ID, dial units.Dial) RateKnown {
	crank, basis, err := f.Crank(l, dial)
	if err != nil {
		return f.byWeightAlone(l, dial)
	}
	field, err := rate.FieldOf(crank, f.outsFor(l, crank.Standing), f.Checked())
	if err != nil {
		return RateKnown{}
	}
	known := RateKnown{Est: crank.Standing, Field: field, Basis: basis, Ok: true, Caught: crank.Caught || field.Gain > 0}
	if field.Gain > 0 {
		known.Est, known.Basis = field.Ground, rate.FromField
	}
	return known
}

func (f *Flow) byWeightAlone(l entry.ID, dial units.Dial) RateKnown {
	fit, err := f.Work.WeighedFit(f.Box, l, f.outsAt(l, dial))
	if err != nil {
		return RateKnown{}
	}
	est, err := fit.RateAt(dial)
	if err != nil {
		return RateKnown{}
	}
	field, err := rate.FieldOf(rate.Crank{Standing: est, Weighed: true}, nil, f.Checked())
	if err != nil {
		return RateKnown{}
	}
	return RateKnown{Est: field.Ground, Field: field, Basis: rate.FromField, Ok: true, Caught: true}
}

// outsFor is the weighed runs that tell of a lot where the crank's rate is so
// and so.
func (f *Flow) outsFor(l entry.ID, crank rate.RateEstimate) (outs []rate.Out) {
	for _, o := range f.Outs {
		out, err := o.Out, error(nil)
		if of := f.Work.Canon(o.Lot); of != f.Work.Canon(l) {
			if !f.Work.LikeSeed(of, l) {
				continue
			}
			if out, err = out.OfAnotherLot(); err != nil {
				continue
			}
		}
		if o.crank.Rate <= 0 {
			continue
		}
		if out, err = out.AtDial(o.crank, crank); err == nil {
			outs = append(outs, out)
		}
	}
	return outs
}

// Checked says whether the drill's counter was held against a mapped piece.
func (f *Flow) Checked() bool { return f.Work.checked(f.Drill) }

// note keeps what is in the box after a step, for the pictures.
func (f *Flow) note(st step) {
	if !f.track {
		return
	}
	m := Moment{Total: st.at, Dial: f.Dials[0].Dial}
	if st.event != nil {
		m.Entry = st.event.Rec.ID()
	} else {
		m.Entry = st.work.Rec.ID()
	}
	for _, side := range f.Seed.Sides {
		m.Left += side.Mass()
	}
	m.Low, m.High = f.Seed.Left(rate.Confidence)
	f.Moments = append(f.Moments, m)
}

// Moment is what was in a box after something happened to it, along the
// counter.
type Moment struct {
	Entry     entry.ID      // what happened, or the reading that ended a stretch
	Total     units.Reading // of the drill's counter, with resets added
	Left      units.Mass
	Low, High units.Mass // Left's 90 % interval
	Dial      units.Dial
}

// CaughtRate is a catch with the rate that it shows.
type CaughtRate struct {
	Entry entry.ID
	Lot   entry.ID
	Dial  units.Dial
	Rate  rate.CatchRate
	Aside []rate.Aside // masses that the other catches make out to be slips; they do not count
}

// Curve is what a box gives of a lot at each dial: the fit, and the catches
// and weighed runs behind it.
type Curve struct {
	Fit     rate.Fit
	Catches []CaughtRate
	Outs    []rate.Measured
}

// Asides is what the fits of a box's catches set aside, by the catch.
func (s *Work) Asides(b, d *thing.Thing, l entry.ID, fit rate.Fit) map[*order.Rec][]rate.Aside {
	standing, moving := s.caughtOf(b, d, l)
	if len(standing) == 0 {
		standing = moving
	}
	found := map[*order.Rec][]rate.Aside{}
	add := func(fit rate.Fit, of []caughtAt) {
		for _, a := range fit.Aside() {
			if a.Catch < len(of) {
				found[of[a.Catch].rec] = append(found[of[a.Catch].rec], a)
			}
		}
	}
	add(fit, standing)
	if also, ok := s.movingFit(b, d, l); ok {
		add(also, moving)
	}
	return found
}
