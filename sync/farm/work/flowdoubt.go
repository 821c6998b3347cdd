package work

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// FlowDoubts is what is in doubt about the seed in a box.
func (s *Work) FlowDoubts(t *thing.Thing, f *Flow) []order.Finding {
	about := s.ThingText(t)
	var out []order.Finding
	for _, p := range f.unproved {
		if rs := s.behind(t, p); len(rs) > 0 {
			out = append(out, order.Finding{Kind: conflict.UnprovedRate, About: s.proofText(t, p), Recs: rs})
		}
	}
	for _, b := range f.Seed.Balances {
		if r := f.reads[b.Event]; b.Off && r != nil && !s.askedOf(r) {
			out = append(out, order.Finding{Kind: conflict.Balance, About: about, Recs: []*order.Rec{r}})
		}
	}
	for _, r := range f.short {
		out = append(out, order.Finding{Kind: conflict.Balance, About: about, Recs: []*order.Rec{r}})
	}
	for _, r := range f.OntoOther {
		out = append(out, order.Finding{Kind: conflict.TwoSeeds, About: about, Recs: []*order.Rec{r}})
	}
	return append(out, s.Together(conflict.MixedLots, about, s.mixed(t))...)
}

// A run that came to more than twice, or less than half, of what crank or chart
// say is a slip before it is a rate: a fill that was not written down, or
// written twice. Our own rule, no source.
const slipOf = 2

// judge says what a level reading that is off comes to. Where that is a slip's
// size, it measures nothing until somebody has looked.
func (f *Flow) judge(r *order.Rec, w *weighedRun, e rate.BoxEvent) {
	run := *w
	run.stretch.Left = rate.Weighed{Mass: e.Mass, Std: e.Std}
	o, ok := run.out()
	if !ok || !f.whole(e.Side) || o.crank.Rate <= 0 {
		w.clean = w.clean && (o.crank.Rate <= 0 && ok || f.Work.lookedInto(r))
		return
	}
	if f.sums == nil {
		f.sums = map[*order.Rec]message.Message{}
	}
	f.sums[r] = o.sum(e.Mass)
	if rate.FarApart(o.Out.Rate.Rate, o.crank.Rate, slipOf) && !f.Work.lookedInto(r) {
		w.clean = false
		f.sums[r] = message.Of("balance.no-rate", f.sums[r])
	}
}

// lookedInto says whether somebody looked again at a level that is off.
func (s *Work) lookedInto(r *order.Rec) bool { return s.Covered(conflict.Balance, r) || s.askedOf(r) }

// askedOf says whether somebody answered a question about a level, or about all
// that was let out, that is off.
func (s *Work) askedOf(r *order.Rec) bool {
	return s.Covered(conflict.LevelTooLow, r) || s.Covered(conflict.OverDrained, r)
}

// sum says at what rate seed went out, and how far what is left lasts at that.
func (o weighedOut) sum(left units.Mass) message.Message {
	apart, _ := units.MulDiv(int64(max(o.Out.Rate.Rate, o.crank.Rate)-min(o.Out.Rate.Rate, o.crank.Rate)), 100, int64(o.crank.Rate))
	text := message.Of("balance.over", message.Rate(o.Out.Rate.Rate), message.Whole(apart))
	if o.Out.Rate.Rate < o.crank.Rate {
		text.ID = "balance.under"
	}
	if area, err := left.At(o.Out.Rate.Rate); left > 0 && err == nil {
		return message.Of("balance.lasts", text, message.AboutArea(area))
	}
	return text
}

// SumsOf is what level readings that are off come to.
func SumsOf(flows []*Flow) map[*order.Rec]message.Message {
	sums := map[*order.Rec]message.Message{}
	for _, f := range flows {
		for _, b := range f.Seed.Balances {
			if r := f.reads[b.Event]; r != nil && !f.sums[r].IsZero() {
				sums[r] = f.sums[r]
			}
		}
		for _, r := range f.short {
			sums[r] = f.sums[r]
		}
	}
	return sums
}

// proofText is a box with a lot and the dial that it goes out at.
func (s *Work) proofText(t *thing.Thing, p proof) message.Message {
	if !p.set {
		return message.Of("box.lot-no-dial", s.Called(t.ID), s.Called(p.lot))
	}
	return message.Of("box.lot-dial", s.Called(t.ID), s.Called(p.lot), message.Decimal(p.dial))
}

// behind is the entries that a rate without proof rests on: the first fill
// with the lot, and the last move of the dial to that mark.
func (s *Work) behind(t *thing.Thing, p proof) []*order.Rec {
	var fill, move *order.Rec
	for _, d := range t.Deeds.All() {
		switch {
		case d.Fills() && fill == nil && s.LotOf(d) == p.lot:
			fill = d.Rec
		case p.set && d.Kind == entry.KindDialMoved && d.Rec.Eff.(*entry.DialMoved).To == p.dial:
			move = d.Rec
		}
	}
	rs := make([]*order.Rec, 0, 2)
	for _, r := range []*order.Rec{fill, move} {
		if r != nil {
			rs = append(rs, r)
		}
	}
	slices.SortFunc(rs, (*order.Rec).Compare)
	return rs
}

// mixed is the fills of a box with a lot that no plan puts there, where plans
// speak of the box at all.
func (s *Work) mixed(t *thing.Thing) []*order.Rec {
	var lots []entry.ID
	for _, g := range s.ByKind[thing.Ground] {
		for i := range g.Fields {
			f := &g.Fields[i]
			if _, v, ok := f.Shown(); f.Num == thing.PlanComponent && f.Y == t.ID && ok && v.S == "" {
				lots = append(lots, f.X)
			}
		}
	}
	if len(lots) == 0 {
		return nil
	}
	var out []*order.Rec
	for _, d := range t.Deeds.All() {
		if d.Fills() && !slices.Contains(lots, s.LotOf(d)) {
			out = append(out, d.Rec)
		}
	}
	return out
}
