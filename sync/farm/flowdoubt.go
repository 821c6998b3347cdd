package farm

import (
	"slices"
	"strconv"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// flowDoubts is what is in doubt about the seed in a box.
func (s *workSt) flowDoubts(t *thing, f *flow) []finding {
	about := "box " + s.name(t.id)
	var out []finding
	for _, p := range f.unproved {
		if rs := s.behind(t, p); len(rs) > 0 {
			out = append(out, finding{UnprovedRate, about + ", " + s.name(p.lot) + p.at(), rs})
		}
	}
	for _, b := range f.seed.Balances {
		if r := f.reads[b.Event]; b.Off && r != nil && !s.askedOf(r) {
			out = append(out, finding{Balance, about, []*rec{r}})
		}
	}
	for _, r := range f.short {
		out = append(out, finding{Balance, about, []*rec{r}})
	}
	for _, r := range f.ontoOther {
		out = append(out, finding{TwoSeeds, about, []*rec{r}})
	}
	return append(out, s.together(MixedLots, about, s.mixed(t))...)
}

// A run that came to more than twice, or less than half, of what crank or chart
// say is a slip before it is a rate: a fill that was not written down, or
// written twice. Our own rule, no source.
const slipOf = 2

// judge says what a level reading that is off comes to. Where that is a slip's
// size, it measures nothing until somebody has looked.
func (f *flow) judge(r *rec, w *weighedRun, e rate.BoxEvent) {
	run := *w
	run.stretch.Left = rate.Weighed{Mass: e.Mass, Doubt: e.Doubt}
	o, ok := run.out()
	if !ok || !f.whole(e.Side) || o.crank.Rate <= 0 {
		w.clean = w.clean && (o.crank.Rate <= 0 && ok || f.s.lookedInto(r))
		return
	}
	if f.sums == nil {
		f.sums = map[*rec]string{}
	}
	f.sums[r] = o.sum(e.Mass, f.s.system())
	if rate.FarApart(o.out.Rate.Rate, o.crank.Rate, slipOf) && !f.s.lookedInto(r) {
		w.clean = false
		f.sums[r] += "; that is too far off to be a rate: was a fill not written down, or written twice?"
	}
}

// lookedInto says whether somebody looked again at a level that is off.
func (s *workSt) lookedInto(r *rec) bool { return s.covered(Balance, r) || s.askedOf(r) }

// askedOf says whether somebody answered a question about a level, or about all
// that was let out, that is off.
func (s *workSt) askedOf(r *rec) bool { return s.covered(LevelTooLow, r) || s.covered(OverDrained, r) }

// sum says at what rate seed went out, and how far what is left lasts at that.
func (o weighedOut) sum(left units.Mass, system units.System) string {
	way := "over"
	if o.out.Rate.Rate < o.crank.Rate {
		way = "under"
	}
	apart, _ := units.MulDiv(int64(max(o.out.Rate.Rate, o.crank.Rate)-min(o.out.Rate.Rate, o.crank.Rate)), 100, int64(o.crank.Rate))
	text := o.out.Rate.Rate.Format(system) + " went out, " + strconv.FormatInt(apart, 10) + " % " + way + " what the catch or chart says"
	if area, err := left.At(o.out.Rate.Rate); left > 0 && err == nil {
		text += "; at that rate it lasts " + area.About(system)
	}
	return text
}

// sumsOf is what level readings that are off come to.
func sumsOf(flows []*flow) map[*rec]string {
	sums := map[*rec]string{}
	for _, f := range flows {
		for _, b := range f.seed.Balances {
			if r := f.reads[b.Event]; r != nil && f.sums[r] != "" {
				sums[r] = f.sums[r]
			}
		}
		for _, r := range f.short {
			sums[r] = f.sums[r]
		}
	}
	return sums
}

// at is the dial of a proof, in words.
func (p proof) at() string {
	if !p.set {
		return " at a dial that nobody wrote"
	}
	return " at dial " + decimal(int64(p.dial))
}

// behind is the entries that a rate without proof rests on: the first fill
// with the lot, and the last move of the dial to that mark.
func (s *workSt) behind(t *thing, p proof) []*rec {
	var fill, move *rec
	for _, d := range t.deeds.all() {
		switch {
		case d.fills() && fill == nil && s.lotOf(d) == p.lot:
			fill = d.rec
		case p.set && d.kind == entry.KindDialMoved && d.rec.eff.(*entry.DialMoved).To == p.dial:
			move = d.rec
		}
	}
	rs := make([]*rec, 0, 2)
	for _, r := range []*rec{fill, move} {
		if r != nil {
			rs = append(rs, r)
		}
	}
	slices.SortFunc(rs, (*rec).compare)
	return rs
}

// mixed is the fills of a box with a lot that no plan puts there, where plans
// speak of the box at all.
func (s *workSt) mixed(t *thing) []*rec {
	var lots []entry.ID
	for _, g := range s.byKind[ground] {
		for i := range g.fields {
			f := &g.fields[i]
			if _, v, ok := f.shown(); f.num == planComponent && f.y == t.id && ok && v.s == "" {
				lots = append(lots, f.x)
			}
		}
	}
	if len(lots) == 0 {
		return nil
	}
	var out []*rec
	for _, d := range t.deeds.all() {
		if d.fills() && !slices.Contains(lots, s.lotOf(d)) {
			out = append(out, d.rec)
		}
	}
	return out
}
