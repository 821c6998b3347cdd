package farm

import (
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// A catch is asked about where it shows more than so many times what chart or
// earlier catches say, or less than one part in so many: charts were found 25
// to 50 % off (Mississippi State University Extension, P3112), so that twice
// lies beyond a chart that is merely bad.
const unlikelyCatch = 2

// fewCatches is how many of the latest catches a catch is held against.
const fewCatches = 8

// catchSlips finds the catches of a box that show far more or less than its
// chart and the catches before them say. Those that are in doubt themselves
// say nothing about those that follow.
func (s *State) catchSlips(t *thing, f *flow) []slip {
	var out []slip
	var before []CaughtRate
	for r := range t.did(entry.KindCaught) {
		b := r.eff.(*entry.Caught)
		cr, err := s.catchRate(b, f.drill)
		if err != nil {
			continue
		}
		said, ok := s.expected(t, f.drill, b, before)
		if ok && rate.FarApart(cr.Rate, said.est.Rate, unlikelyCatch) {
			out = append(out, s.catchSlip(r, b, cr, said))
			if !s.confirmed(&out[len(out)-1], r) {
				continue
			}
		}
		before = append(before, CaughtRate{Entry: r.id(), Lot: s.canon(b.Lot), Dial: b.Dial, Rate: cr})
		before = before[max(0, len(before)-fewCatches):]
	}
	return out
}

// confirmed says whether somebody settled a slip for the figure that stands
// now.
func (s *State) confirmed(sl *slip, r *rec) bool {
	if !s.covered(sl.kind, r) {
		return false
	}
	return slices.ContainsFunc(s.settles.all(), func(by *rec) bool {
		b, ok := by.eff.(*entry.Settled)
		return ok && DoubtKind(b.Doubt) == sl.kind && slices.Contains(b.Entries, r.id()) && sl.confirms(b)
	})
}

// expected is what a box's chart and some catches say of a catch's lot and
// dial.
func (s *State) expected(t, d *thing, b *entry.Caught, before []CaughtRate) (rateKnown, bool) {
	var ms []rate.Measured
	for i := range before {
		if s.likeSeed(before[i].Lot, b.Lot) {
			ms = append(ms, before[i].Rate.Measured(before[i].Dial))
		}
	}
	fit, err := s.fitOf(t, s.speciesOf(b.Lot), ms)
	if err != nil {
		return rateKnown{}, false
	}
	est, err := fit.RateAt(b.Dial)
	return rateKnown{est: est, basis: string(fit.Basis())}, err == nil && est.Rate > 0
}

func (s *State) catchSlip(r *rec, b *entry.Caught, cr rate.CatchRate, said rateKnown) slip {
	sum := caughtInAll(b)
	return slip{
		finding: finding{UnlikelyCatch, "box " + s.name(b.Box) + ", " + s.name(b.Lot) + " at dial " + decimal(int64(b.Dial)), []*rec{r}},
		field:   "caught", figure: entry.Some(int64(sum)),
		says: func() slipWords {
			by := "earlier catches say"
			if said.basis == string(rate.FromChart) {
				by = "the chart says"
			}
			caught := sum.As(b.MassIn, units.Metric)
			w := slipWords{written: caught, why: fmt.Sprintf("%s is %s, %s the %s that %s",
				caught, cr.Rate.Format(s.system()), timesOf(cr.Rate, said.est.Rate), said.est.Rate.Format(s.system()), by)}
			if cr.Rate == 0 {
				w.why = fmt.Sprintf("nothing came, where %s: %s", by, said.est.Rate.Format(s.system()))
			}
			if by, how, ok := rate.UndoSlip(cr.Rate, said.est.Rate); ok {
				scaled := scaledCatch(b, by)
				m := caughtInAll(scaled)
				w.instead = []meant{{text: m.As(b.MassIn, units.Metric), how: how, value: entry.Some(int64(m)), body: scaled}}
			}
			return w
		},
	}
}

// timesOf writes how many times one rate is another: "17 times", or "one 8th of".
func timesOf(r, of units.RatePerArea) string {
	n, text := rate.Ratio(max(r, of), min(r, of)), "%s times"
	if r < of {
		text = "one %sth of"
	}
	if n < 10 {
		return fmt.Sprintf(text, fmt.Sprintf("%.1f", n))
	}
	return fmt.Sprintf(text, fmt.Sprintf("%.0f", n))
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

func scaledCatch(b *entry.Caught, by float64) *entry.Caught {
	c := *b
	c.Masses, c.RowMasses = scaledMasses(b.Masses, by), scaledMasses(b.RowMasses, by)
	return &c
}

func scaledMasses(ms []units.Mass, by float64) []units.Mass {
	var out []units.Mass
	for _, m := range ms {
		out = append(out, rate.Scaled(m, by))
	}
	return out
}
