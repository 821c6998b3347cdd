package farm

import (
	"errors"
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// fewCatches is how many of the latest catches a catch is held against.
const fewCatches = 8

// leaveOut is the word of the choice not to count a catch, or one mass of it.
const leaveOut = "leave-out"

// catchSlips finds the catches of a box that show far more or less than its
// chart and the catches before them say, then those that the later ones make out
// to be slips. Those that are in doubt and far off say nothing about those that
// follow.
func (s *slipSt) catchSlips(t *thing, f *flow, usual usualRates) []slip {
	var out []slip
	var before []earlierCatch
	var lots []entry.ID
	for r := range t.did(entry.KindCaught) {
		b := r.eff.(*entry.Caught)
		cr, err := s.catchRate(b, f.drill)
		if err != nil {
			continue
		}
		sl, far, doubted := s.unlikelyCatch(t, r, b, cr, before, usual)
		sure := doubted && s.confirmed(&sl, r)
		if doubted {
			out = append(out, sl)
		}
		if far && !sure {
			continue
		}
		if l := s.canon(b.Lot); !slices.Contains(lots, l) {
			lots = append(lots, l)
		}
		m := cr.Measured(b.Dial)
		if sure {
			m = m.Sure()
		}
		before = append(before, earlierCatch{s.canon(b.Lot), m})
		before = before[max(0, len(before)-fewCatches):]
	}
	for _, l := range lots {
		out = append(out, s.asideSlips(f, l, out)...)
	}
	return out
}

// earlierCatch is a catch that counts for those after it.
type earlierCatch struct {
	lot entry.ID
	m   rate.Measured
}

// asideSlips finds the catches of a lot that its other catches make out to be
// slips, of those that are not in doubt already.
func (s *slipSt) asideSlips(f *flow, lot entry.ID, already []slip) []slip {
	if len(s.marksOf(f.box.id, 0)) > 0 && len(chartOf(f.box, s.speciesOf(lot))) == 0 {
		return nil // what is caught at one mark says nothing of another
	}
	w := f.ways(lot)
	if w.err != nil || len(w.crank.Aside())+len(w.moving.Aside()) == 0 {
		return nil
	}
	var out []slip
	asides := s.asides(f.box, f.drill, lot, w.crank)
	for r := range f.box.did(entry.KindCaught) {
		b, mine := r.eff.(*entry.Caught), asides[r]
		in := func(sl slip) bool { return sl.recs[0] == r }
		if len(mine) == 0 {
			continue
		}
		if a := mine[0]; !a.Slip.Plugged && s.canon(b.Lot) == lot && !slices.ContainsFunc(already, in) {
			u := rate.Unlikely{Slip: a.Slip, Repeat: a.Repeat, Rate: a.Rate, Others: true}
			out = append(out, s.catchSlip(r, b, u, "the other catches say"))
		}
	}
	return out
}

// confirmed says whether somebody settled a slip for the figure that stands
// now.
func (s *slipSt) confirmed(sl *slip, r *rec) bool {
	return s.anySettled(sl.kind, r, sl.confirms)
}

// isSure says whether a person said of a catch that it is as it stands now.
func (s *workSt) isSure(r *rec, b *entry.Caught) bool {
	figure := entry.Some(int64(caughtInAll(b)))
	return s.anySettled(UnlikelyCatch, r, func(by *entry.Settled) bool { return confirms(by, figure) })
}

// unlikelyCatch holds a catch against a box's chart and some catches before it;
// without either, against what is published for its species. far says that it
// lies so far off that it is no measure of others.
func (s *slipSt) unlikelyCatch(t *thing, r *rec, b *entry.Caught, cr rate.CatchRate, before []earlierCatch, usual usualRates) (sl slip, far, doubted bool) {
	marks := s.marksOf(t.id, b.Side)
	bx := s.curveBox(t, s.speciesOf(b.Lot))
	loose := len(marks) > 0 && !charted(bx.Chart, b.Dial)
	if loose {
		bx.Chart = nil
	}
	var ms []rate.Measured
	for _, c := range before {
		if loose && c.m.Dial != b.Dial {
			continue
		}
		if m, ok := s.ofLot(c.m, c.lot, s.canon(b.Lot)); ok {
			ms = append(ms, m)
		}
	}
	if cr.Rate == 0 {
		sl, doubted = s.nothingCame(r, b, bx, ms)
		return sl, true, doubted
	}
	u, ok, err := rate.UnlikelyCatch(bx, ms, cr.Measured(b.Dial))
	switch {
	case err != nil && !errors.Is(err, rate.ErrNothingKnown):
		return slip{}, false, false
	case ok && u.Others:
		says := "the other catches say"
		if chart := s.chartSides(bx, b, u); chart > 0 {
			says += "; the chart says " + chart.Format(s.system()) + ", nearer to this catch: it may be wrong, or those before it"
			u.Factor = 1 // no slip in this one is likelier than one in those
		}
		return s.catchSlip(r, b, u, says), u.Far(), true
	case ok:
		return s.catchSlip(r, b, u, "the chart says"), true, true
	case len(ms) > 0 || len(bx.Chart) > 0:
		return slip{}, false, false
	}
	sl, doubted = s.unusualCatch(r, b, cr, usual)
	return sl, doubted, doubted
}

// chartSides is what the chart says where that is nearer to a catch than to those
// that speak against it; else 0.
func (s *slipSt) chartSides(bx rate.Box, b *entry.Caught, u rate.Unlikely) units.RatePerArea {
	if len(bx.Chart) == 0 {
		return 0
	}
	fit, err := rate.FitBox(bx, nil)
	if err != nil {
		return 0
	}
	chart, err := fit.RateAt(b.Dial)
	if err != nil || chart.Rate == 0 || !rate.Nearer(u.Rate, u.Expected, chart.Rate) {
		return 0
	}
	return chart.Rate
}

// charted says whether a setting lies within a chart.
func charted(points []rate.ChartPoint, d units.Dial) bool {
	return slices.ContainsFunc(points, func(p rate.ChartPoint) bool { return p.Dial <= d }) &&
		slices.ContainsFunc(points, func(p rate.ChartPoint) bool { return p.Dial >= d })
}

// nothingCame asks about a catch of nothing where something was to come.
func (s *slipSt) nothingCame(r *rec, b *entry.Caught, bx rate.Box, ms []rate.Measured) (slip, bool) {
	fit, err := rate.FitBox(bx, ms)
	if err != nil {
		return slip{}, false
	}
	est, err := fit.RateAt(b.Dial)
	if err != nil || est.Rate == 0 {
		return slip{}, false
	}
	return s.catchSlip(r, b, rate.Unlikely{Slip: rate.Slip{Expected: est.Rate, Plugged: true}, Repeat: rate.WholeCatch}, saidBy(fit)), true
}

func saidBy(fit rate.Fit) string {
	if fit.Basis() == rate.FromChart {
		return "the chart says"
	}
	return "the other catches say"
}

// unusualCatch holds a catch against what is published for its species.
func (s *slipSt) unusualCatch(r *rec, b *entry.Caught, cr rate.CatchRate, usual usualRates) (slip, bool) {
	species := s.speciesOf(b.Lot)
	p := usual.of(species)
	u, ok := rate.UnusualCatch(cr.Rate, p.low, p.high)
	if !ok {
		return slip{}, false
	}
	sl := s.catchSlip(r, b, rate.Unlikely{Slip: u, Repeat: rate.WholeCatch, Rate: cr.Rate}, "")
	says := sl.says
	sl.says = func() slipWords {
		w := says()
		w.why = fmt.Sprintf("%s is %s, far from the %s of %s that %s publishes; no chart and no other catch says more",
			w.written, cr.Rate.Format(s.system()), p.span(s.system()), species, p.source)
		return w
	}
	return sl, true
}

// catchSlip is a slip of a catch, or of one mass of it, against what somebody
// says.
func (s *slipSt) catchSlip(r *rec, b *entry.Caught, u rate.Unlikely, says string) slip {
	sum := caughtInAll(b)
	one := sum
	if u.Repeat >= 0 && u.Repeat < len(b.Masses) {
		one = b.Masses[u.Repeat]
	}
	return slip{
		finding: finding{UnlikelyCatch, "box " + s.name(b.Box) + ", " + s.name(b.Lot) + " at dial " + s.dialText(b.Box, b.Side, b.Dial), []*rec{r}},
		field:   "caught", figure: entry.Some(int64(sum)),
		says: func() slipWords {
			w := slipWords{written: one.As(b.MassIn, units.Metric), why: fmt.Sprintf("%s is %s, %s the %s that %s",
				one.As(b.MassIn, units.Metric), u.Rate.Format(s.system()), u.Beside(), u.Expected.Format(s.system()), says)}
			if u.Plugged {
				w.why = fmt.Sprintf("nothing came, where %s %s", says, u.Expected.Format(s.system()))
			}
			if u.Factor != 1 && !u.Plugged {
				c := undone(b, u)
				w.instead = append(w.instead, meant{text: rate.Undone(one, u.Slip).As(b.MassIn, units.Metric), how: u.Likely,
					value: entry.Some(int64(caughtInAll(c))), body: c})
			}
			if u.Others {
				w.instead = append(w.instead, notCounted(b, u.Repeat))
			}
			return w
		},
	}
}

// notCounted is a catch, or one mass of it, left out.
func notCounted(b *entry.Caught, repeat int) meant {
	m := meant{text: "leave it out", how: "something went wrong with it", word: leaveOut}
	if repeat >= 0 && len(b.Masses) > 1 && repeat < len(b.Masses) {
		c := *b
		c.Masses = slices.Delete(slices.Clone(b.Masses), repeat, repeat+1)
		m.body, m.value = &c, entry.Some(int64(caughtInAll(&c)))
	}
	return m
}

// caughtInAll is the mass that a catch wrote down, its repeats added up.
func caughtInAll(b *entry.Caught) (sum units.Mass) {
	ms := b.Masses
	if len(b.RowMasses) > 0 {
		ms = b.RowMasses
	}
	for _, m := range ms {
		sum += m
	}
	return sum
}

// undone is a catch without the slip that all of its masses, or one repeat,
// likely have.
func undone(b *entry.Caught, u rate.Unlikely) *entry.Caught {
	c := *b
	c.Masses, c.RowMasses = slices.Clone(b.Masses), slices.Clone(b.RowMasses)
	for i := range c.Masses {
		if u.Repeat == rate.WholeCatch || u.Repeat == i {
			c.Masses[i] = rate.Undone(c.Masses[i], u.Slip)
		}
	}
	for i := range c.RowMasses {
		c.RowMasses[i] = rate.Undone(c.RowMasses[i], u.Slip)
	}
	return &c
}
