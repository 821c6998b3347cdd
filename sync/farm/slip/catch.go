package slip

import (
	"errors"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
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
func (s *Slips) catchSlips(t *thing.Thing, f *work.Flow, usual usualRates) []Slip {
	var out []Slip
	var before []earlierCatch
	var lots []entry.ID
	for r := range t.Did(entry.KindCaught) {
		b := r.Eff.(*entry.Caught)
		cr, err := s.CatchRate(b, f.Drill)
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
		if l := s.Canon(b.Lot); !slices.Contains(lots, l) {
			lots = append(lots, l)
		}
		m := cr.Measured(b.Dial)
		if sure {
			m = m.Sure()
		}
		before = append(before, earlierCatch{s.Canon(b.Lot), m})
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
func (s *Slips) asideSlips(f *work.Flow, lot entry.ID, already []Slip) []Slip {
	if len(s.MarksOf(f.Box.ID, 0)) > 0 && len(work.ChartOf(f.Box, s.SpeciesOf(lot))) == 0 {
		return nil // what is caught at one mark says nothing of another
	}
	w := f.Ways(lot)
	if w.Err != nil || len(w.Crank.Aside())+len(w.Moving.Aside()) == 0 {
		return nil
	}
	var out []Slip
	asides := s.Asides(f.Box, f.Drill, lot, w.Crank)
	for r := range f.Box.Did(entry.KindCaught) {
		b, mine := r.Eff.(*entry.Caught), asides[r]
		in := func(sl Slip) bool { return sl.Recs[0] == r }
		if len(mine) == 0 {
			continue
		}
		if a := mine[0]; !a.Slip.Plugged && s.Canon(b.Lot) == lot && !slices.ContainsFunc(already, in) {
			u := rate.Unlikely{Slip: a.Slip, Repeat: a.Repeat, Rate: a.Rate, Others: true}
			out = append(out, s.catchSlip(r, b, u, message.Of("says.other-catches")))
		}
	}
	return out
}

// confirmed says whether somebody settled a slip for the figure that stands
// now.
func (s *Slips) confirmed(sl *Slip, r *order.Rec) bool {
	return s.AnySettled(sl.Kind, r, sl.Confirms)
}

// unlikelyCatch holds a catch against a box's chart and some catches before it;
// without either, against what is published for its species. far says that it
// lies so far off that it is no measure of others.
func (s *Slips) unlikelyCatch(t *thing.Thing, r *order.Rec, b *entry.Caught, cr rate.CatchRate, before []earlierCatch, usual usualRates) (sl Slip, far, doubted bool) {
	marks := s.MarksOf(t.ID, b.Side)
	bx := s.CurveBox(t, s.SpeciesOf(b.Lot))
	loose := len(marks) > 0 && !work.Charted(bx.Chart, b.Dial)
	if loose {
		bx.Chart = nil
	}
	var ms []rate.Measured
	for _, c := range before {
		if loose && c.m.Dial != b.Dial {
			continue
		}
		if m, ok := s.OfLot(c.m, c.lot, s.Canon(b.Lot)); ok {
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
		return Slip{}, false, false
	case ok && u.Others:
		says := message.Of("says.other-catches")
		if chart := s.chartSides(bx, b, u); chart > 0 {
			says = message.Of("says.chart-nearer", says, message.Rate(chart))
			u.Factor = 1 // no slip in this one is likelier than one in those
		}
		return s.catchSlip(r, b, u, says), u.Far(), true
	case ok:
		return s.catchSlip(r, b, u, message.Of("says.chart")), true, true
	case len(ms) > 0 || len(bx.Chart) > 0:
		return Slip{}, false, false
	}
	sl, doubted = s.unusualCatch(r, b, cr, usual)
	return sl, doubted, doubted
}

// chartSides is what the chart says where that is nearer to a catch than to those
// that speak against it; else 0.
func (s *Slips) chartSides(bx rate.Box, b *entry.Caught, u rate.Unlikely) units.RatePerArea {
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

// nothingCame asks about a catch of nothing where something was to come.
func (s *Slips) nothingCame(r *order.Rec, b *entry.Caught, bx rate.Box, ms []rate.Measured) (Slip, bool) {
	fit, err := rate.FitBox(bx, ms)
	if err != nil {
		return Slip{}, false
	}
	est, err := fit.RateAt(b.Dial)
	if err != nil || est.Rate == 0 {
		return Slip{}, false
	}
	return s.catchSlip(r, b, rate.Unlikely{Slip: rate.Slip{Expected: est.Rate, Plugged: true}, Repeat: rate.WholeCatch}, saidBy(fit)), true
}

func saidBy(fit rate.Fit) message.Message {
	if fit.Basis() == rate.FromChart {
		return message.Of("says.chart")
	}
	return message.Of("says.other-catches")
}

// unusualCatch holds a catch against what is published for its species.
func (s *Slips) unusualCatch(r *order.Rec, b *entry.Caught, cr rate.CatchRate, usual usualRates) (Slip, bool) {
	species := s.SpeciesOf(b.Lot)
	p := usual.of(species)
	u, ok := rate.UnusualCatch(cr.Rate, p.low, p.high)
	if !ok {
		return Slip{}, false
	}
	sl := s.catchSlip(r, b, rate.Unlikely{Slip: u, Repeat: rate.WholeCatch, Rate: cr.Rate}, message.Message{})
	says := sl.says
	sl.says = func() reason {
		w := says()
		w.why = message.Of("slip.catch-unusual", w.written, message.Rate(cr.Rate), p.span(), message.Text(species), message.Text(p.source))
		return w
	}
	return sl, true
}

// catchSlip is a slip of a catch, or of one mass of it, against what somebody
// says.
func (s *Slips) catchSlip(r *order.Rec, b *entry.Caught, u rate.Unlikely, says message.Message) Slip {
	sum := work.CaughtInAll(b)
	one := sum
	if u.Repeat >= 0 && u.Repeat < len(b.Masses) {
		one = b.Masses[u.Repeat]
	}
	return Slip{
		Finding: order.Finding{Kind: conflict.UnlikelyCatch, About: message.Of("box.lot-dial", s.Called(b.Box), s.Called(b.Lot), s.Mark(b.Box, b.Side, b.Dial)), Recs: []*order.Rec{r}},
		field:   "caught", figure: entry.Some(int64(sum)),
		says: func() reason {
			mass := message.Caught(one, b.MassIn)
			w := reason{written: shown(mass), why: message.Of("slip.catch-far", mass, message.Rate(u.Rate), message.Times(u.Times), message.Rate(u.Expected), says)}
			if u.Plugged {
				w.why = message.Of("slip.nothing-came", says, message.Rate(u.Expected))
			}
			if u.Factor != 1 && !u.Plugged {
				c := undone(b, u)
				w.instead = append(w.instead, meant{text: shown(message.Caught(rate.Undone(one, u.Slip), b.MassIn)), how: slipped(u.Likely),
					value: entry.Some(int64(work.CaughtInAll(c))), body: c})
			}
			if u.Others {
				w.instead = append(w.instead, notCounted(b, u.Repeat))
			}
			return w
		},
	}
}

// slipped is how a slip comes about, in the rate engine's words.
func slipped(how string) message.Message {
	if how == "" {
		return message.Message{}
	}
	return message.Of("how", message.TermOf("slip", how))
}

// notCounted is a catch, or one mass of it, left out.
func notCounted(b *entry.Caught, repeat int) meant {
	m := meant{text: message.Of("choice.leave-out"), how: message.Of("how.went-wrong"), word: leaveOut}
	if repeat >= 0 && len(b.Masses) > 1 && repeat < len(b.Masses) {
		c := *b
		c.Masses = slices.Delete(slices.Clone(b.Masses), repeat, repeat+1)
		m.body, m.value = &c, entry.Some(int64(work.CaughtInAll(&c)))
	}
	return m
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
