package farm

import (
	"slices"

	"turnrow/sync/entry"
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
	lot     entry.ID
	dials   []units.Dial
	stretch rate.Stretch
	crank   rate.RateEstimate // what crank and chart alone say of it; no rate where they say nothing
	out     rate.Out
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
func (f *flow) workRun(area units.Area) {
	w := &f.run
	if area == 0 {
		return
	}
	w.stretch.Area += area
	for i, d := range f.dials {
		w.clean = w.clean && d.set
		if !slices.Contains(w.dials, d.dial) {
			w.dials = append(slices.Clip(w.dials), d.dial)
		}
		if w.lot.IsZero() || !w.known {
			continue
		}
		crank, _, err := f.crank(w.lot, d.dial)
		if err != nil {
			w.known = false
			continue
		}
		if m, err := crank.Standing.Rate.On(area); err == nil {
			part, _ := units.MulDiv(int64(m), int64(f.seed.Sides[i].Rows), f.rows())
			w.crank += units.Mass(part)
		}
	}
}

// whole says whether a side stands for all of the box.
func (f *flow) whole(side int) bool { return side == rate.AllSides || len(f.seed.Sides) == 1 }

// closeRun ends a run by what is left in the box, and takes what went out as a
// measurement where it was of one lot.
func (f *flow) closeRun(w weighedRun, side int, left rate.Weighed) {
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
	f.last, f.before = &alone, nil
	if n := len(f.outs); w.joined && n > 0 && f.outs[n-1].lot == o.lot {
		f.before = &f.outs[n-1]
		if joined, ok := f.outs[n-1].join(o); ok {
			f.outs = slices.Clone(f.outs[:n-1]) // what was before stands in f.before
			o = joined
		}
	}
	f.outs = append(f.outs, o)
	f.run.joined = true
	f.onLevel = true
	clear(f.rates)
}

func (w *weighedRun) out() (o weighedOut, ok bool) {
	o = weighedOut{lot: w.lot, dials: w.dials, stretch: w.stretch}
	var err error
	if o.out, err = w.stretch.Out(); err != nil {
		return o, false
	}
	if w.known && w.crank > 0 {
		o.crank.Rate, err = w.crank.Over(w.stretch.Area)
	}
	return o, err == nil
}

// join is two runs end to end at one dial as one.
func (o weighedOut) join(next weighedOut) (weighedOut, bool) {
	if len(o.dials) != 1 || !slices.Equal(o.dials, next.dials) {
		return next, false
	}
	next.stretch = o.stretch.Join(next.stretch)
	var err error
	next.out, err = next.stretch.Out()
	return next, err == nil
}

// proves says whether a run was weighed with a lot at a dial.
func (f *flow) proves(l entry.ID, dial units.Dial) bool {
	return slices.ContainsFunc(f.outs, func(o weighedOut) bool { return o.lot == l && slices.Contains(o.dials, dial) })
}

// crank is what crank and chart say of a lot at a dial, and what that rests on.
func (f *flow) crank(l entry.ID, dial units.Dial) (rate.Crank, rate.Basis, error) {
	w := f.waysAt(l, dial)
	if w.err != nil {
		return rate.Crank{}, "", w.err
	}
	c := rate.Crank{Caught: w.crank.Basis() != rate.FromChart, Driven: w.crank.Way() == rate.Moving}
	var err error
	if c.Standing, err = w.crank.RateAt(dial); err != nil {
		return rate.Crank{}, "", err
	}
	if w.both {
		if est, err := w.moving.RateAt(dial); err == nil {
			c.Moving = &est
		}
	}
	return c, w.crank.Basis(), nil
}

// caughtWays is a box's curve for a lot by how it was caught: see crankFit and
// movingFit.
type caughtWays struct {
	crank, moving rate.Fit
	both          bool
	err           error
}

// ways fits a box's curves for a lot once for each look at the box.
func (f *flow) ways(l entry.ID) caughtWays {
	if w, ok := f.fits[l]; ok {
		return w
	}
	var w caughtWays
	w.crank, w.err = f.s.crankFit(f.box, f.drill, l)
	w.moving, w.both = f.s.movingFit(f.box, f.drill, l)
	if f.fits == nil {
		f.fits = map[entry.ID]caughtWays{}
	}
	f.fits[l] = w
	return w
}

// field is what a box gives of a lot at a dial in the field: by crank and chart,
// and by what was weighed out of it so far. A box of which neither chart nor
// catch is known goes by what was weighed alone.
func (f *flow) field(l entry.ID, dial units.Dial) rateKnown {
	crank, basis, err := f.crank(l, dial)
	if err != nil {
		return f.byWeightAlone(l, dial)
	}
	field, err := rate.FieldOf(crank, f.outsFor(l, crank.Standing), f.checked())
	if err != nil {
		return rateKnown{}
	}
	known := rateKnown{est: crank.Standing, field: field, basis: string(basis), ok: true, caught: crank.Caught || field.Gain > 0}
	if field.Gain > 0 {
		known.est, known.basis = field.Ground, weighedBasis
	}
	return known
}

// weighedBasis is what a rate rests on once a run was weighed.
const weighedBasis = "weighed in the field"

func (f *flow) byWeightAlone(l entry.ID, dial units.Dial) rateKnown {
	fit, err := f.s.weighedFit(f.box, l, f.outsAt(l, dial))
	if err != nil {
		return rateKnown{}
	}
	est, err := fit.RateAt(dial)
	if err != nil {
		return rateKnown{}
	}
	field, err := rate.FieldOf(rate.Crank{Standing: est, Weighed: true}, nil, f.checked())
	if err != nil {
		return rateKnown{}
	}
	return rateKnown{est: field.Ground, field: field, basis: weighedBasis, ok: true, caught: true}
}

// outsFor is the weighed runs that tell of a lot where the crank's rate is so
// and so.
func (f *flow) outsFor(l entry.ID, crank rate.RateEstimate) (outs []rate.Out) {
	for _, o := range f.outs {
		out, err := o.out, error(nil)
		if of := f.s.canon(o.lot); of != f.s.canon(l) {
			if !f.s.likeSeed(of, l) {
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

// checked says whether the drill's counter was held against a mapped piece.
func (f *flow) checked() bool { return f.s.checked(f.drill) }

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
	}
	m.Low, m.High = f.seed.Left(rate.Confidence)
	f.moments = append(f.moments, m)
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
	Aside []rate.Aside // masses that the other catches make out to be slips; they do not count
}

// Curve is what a box gives of a lot at each dial: the fit, and the catches
// and weighed runs behind it.
type Curve struct {
	Fit     rate.Fit
	Catches []CaughtRate
	Outs    []rate.Measured
}

// asides is what the fits of a box's catches set aside, by the catch.
func (s *workSt) asides(b, d *thing, l entry.ID, fit rate.Fit) map[*rec][]rate.Aside {
	standing, moving := s.caughtOf(b, d, l)
	if len(standing) == 0 {
		standing = moving
	}
	found := map[*rec][]rate.Aside{}
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

// Curve fits a box's curve for a lot. It gives the rate engine's errors, such
// as rate.ErrNothingKnown.
func (s *State) Curve(boxID, lotID entry.ID) (Curve, error) {
	t, ok := s.things[boxID]
	if !ok || t.kind != box {
		return Curve{}, rate.ErrNothingKnown
	}
	s.View() // what it rests on is found there
	f := s.followed(t, s.drillFor(t), false)
	fit, err := s.crankFit(t, f.drill, lotID)
	if err != nil {
		if fit, err = s.weighedFit(t, lotID, f.outs); err != nil {
			return Curve{}, err
		}
	}
	c := Curve{Fit: fit}
	asides := s.asides(t, f.drill, lotID, fit)
	for r := range t.did(entry.KindCaught) {
		b := r.eff.(*entry.Caught)
		if !s.likeSeed(b.Lot, lotID) {
			continue
		}
		if cr, err := s.catchRate(b, f.drill); err == nil {
			c.Catches = append(c.Catches, CaughtRate{Entry: r.id(), Lot: b.Lot, Dial: b.Dial, Rate: cr, Aside: asides[r]})
		}
	}
	for _, o := range f.outs {
		if s.likeSeed(o.lot, lotID) && len(o.dials) == 1 {
			c.Outs = append(c.Outs, o.out.Measured(o.dials[0]))
		}
	}
	return c, nil
}
