package slip

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/tell"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// use is seed of a lot that left its bags for good, or came back to them.
type use struct {
	rec  *order.Rec
	mass units.Mass
}

// bagSlips finds the lots of which more left the bags than came. Where no bags
// were written in there is nothing to hold it against.
func (s *Slips) bagSlips(flows []*work.Flow) []Slip {
	var out []Slip
	for _, t := range s.Sorted(thing.Lot) {
		if came, uses := s.bagsOf(t); came > 0 {
			uses = append(uses, s.usesOf(t, flows)...)
			out = append(out, s.overdrawnSlips(t, came, overdrawn(came, uses))...)
		}
	}
	return out
}

// bagsOf is the mass of a lot that came, and what left in bags; 0 where no bags
// came, or a bag's mass is not known.
func (s *Slips) bagsOf(t *thing.Thing) (came units.Mass, left []use) {
	bag, _ := t.Num(thing.LotBag)
	for _, r := range t.Events.All() {
		var in, out units.Count
		switch b := r.Eff.(type) {
		case *entry.BagsIn:
			in = b.Bags
		case *entry.BagsOut:
			out = b.Bags
		}
		if m, err := units.Mass(bag).Times(in); err == nil {
			came += m
		}
		if m, err := units.Mass(bag).Times(out); err == nil && out > 0 {
			left = append(left, use{r, m})
		}
	}
	return came, left
}

// usesOf is what was poured of a lot, and what was let out of boxes again.
func (s *Slips) usesOf(t *thing.Thing, flows []*work.Flow) (uses []use) {
	for _, f := range flows {
		for _, d := range f.Box.Deeds.All() {
			if d.Lot == t.Nr && !f.OpenDouble(d) { // a twin may have poured it
				uses = append(uses, use{d.Rec, s.Weighs(d)})
			}
		}
		for _, taken := range f.Drained {
			if r := s.Find(taken.Entry); taken.Lot == t.ID && r != nil {
				uses = append(uses, use{r, -taken.Mass})
			}
		}
	}
	return uses
}

// drawn is a fill, or bags that left, with what had left the bags of its lot
// by then.
type drawn struct {
	*order.Rec
	mass, sum units.Mass
}

// overdrawn is what was taken out of bags while more of them was out than ever
// came: bags are often written in after they were poured. What is let out again
// can be poured once more, and does not make less of what was poured before.
func overdrawn(came units.Mass, uses []use) (over []drawn) {
	slices.SortFunc(uses, func(a, b use) int { return a.rec.Compare(b.rec) })
	var sum units.Mass
	for _, u := range uses {
		if sum += u.mass; u.mass > 0 && rate.Over(sum, came, moreThanCame) {
			over = append(over, drawn{u.rec, u.mass, sum})
		}
	}
	return over
}

// overdrawnSlips are one doubt about all that was taken so, but for what
// somebody has said is as written; and a question about each, so that a further
// one is asked about as the first was.
func (s *Slips) overdrawnSlips(t *thing.Thing, came units.Mass, over []drawn) (out []Slip) {
	var open []drawn
	for _, d := range over {
		if !s.saidAsWritten(conflict.MoreThanCame, d.Rec, drawnFigure(d.Eff)) {
			open = append(open, d)
		}
		one := s.bagSlip(t, came, []drawn{d})
		one.AskOnly = true
		out = append(out, one)
	}
	if len(open) > 0 {
		all := s.bagSlip(t, came, open)
		all.DoubtOnly = true
		out = append(out, all)
	}
	return out
}

// saidAsWritten says whether somebody said of an entry, with the figure that it
// has now, that it is as written.
func (s *Slips) saidAsWritten(kind conflict.DoubtKind, r *order.Rec, figure entry.Opt[int64]) bool {
	return s.AnySettled(kind, r, func(b *entry.Settled) bool {
		return b.Choice == entry.AsWritten && (b.Entries[len(b.Entries)-1] != r.ID() || !b.Value.Set || b.Value == figure)
	})
}

// drawnFigure is what was written of seed that left its bags.
func drawnFigure(b entry.Body) entry.Opt[int64] {
	switch b := b.(type) {
	case *entry.Filled:
		if b.Bags > 0 {
			return entry.Some(int64(b.Bags))
		}
		return entry.Some(int64(b.Mass))
	case *entry.VolumeFilled:
		return entry.Some(int64(b.Volume))
	case *entry.BagsOut:
		return entry.Some(int64(b.Bags))
	}
	return entry.Opt[int64]{}
}

// drawnText is the same as people read it.
func drawnText(b entry.Body) message.Message {
	switch b := b.(type) {
	case *entry.Filled:
		return shown(tell.Amount(b))
	case *entry.VolumeFilled:
		return shown(tell.Measure(b.Volume, b.VolumeIn, b.Heaped))
	case *entry.BagsOut:
		return tell.Bags(b.Bags)
	}
	return message.Message{}
}

// bagSlip is that what was taken last of some is more than came.
func (s *Slips) bagSlip(t *thing.Thing, came units.Mass, taken []drawn) Slip {
	recs := make([]*order.Rec, len(taken))
	for i, d := range taken {
		recs[i] = d.Rec
	}
	last, out := taken[len(taken)-1], units.Mass(0)
	for i := range taken {
		out = max(out, taken[i].sum)
	}
	sl := Slip{Finding: order.Finding{Kind: conflict.MoreThanCame, About: s.ThingText(t), Recs: recs}, field: drawnField(last.Eff), figure: drawnFigure(last.Eff)}
	sl.says = func() reason {
		w := reason{written: drawnText(last.Eff),
			why: message.Of("slip.more-left", message.Mass(out), s.Called(t.ID), message.Mass(came))}
		if len(taken) > 1 {
			w.why = message.Of("slip.more-left-notes", w.why, message.Whole(len(taken)))
		}
		if b, ok := last.Eff.(*entry.Filled); ok && len(taken) == 1 {
			w.instead = s.smallerFill(b, rate.Scaled(came, moreThanCame)-(last.sum-last.mass))
		}
		w.beside = s.moreCame(t, out-came)
		return w
	}
	return sl
}

func drawnField(b entry.Body) string {
	switch b := b.(type) {
	case *entry.Filled:
		if b.Bags == 0 {
			return "mass"
		}
	case *entry.VolumeFilled:
		return "volume"
	}
	return "bags"
}

// moreCame is that bags came which nobody wrote down: as many as it takes.
func (s *Slips) moreCame(t *thing.Thing, missing units.Mass) *beside {
	bag, _ := t.Num(thing.LotBag)
	n := (int64(missing) + bag - 1) / max(1, bag)
	if n < 1 {
		return nil
	}
	in := units.Count(n * 1000)
	return &beside{"more-came", message.Of("choice.more-came", tell.Bags(in)), &entry.BagsIn{Lot: t.ID, Bags: in}}
}
