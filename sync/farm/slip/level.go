package slip

import (
	"cmp"
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/words"
	"turnrow/sync/farm/work"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// levelsMeant are the levels that may have been meant, the nearest to the books first.
func levelsMeant(l *work.LevelSeen, system units.System) (out []meant) {
	const ounces, point = 16, 10
	try := []work.OtherLevel{{Mass: l.Weight / point, In: l.MassIn, How: "a point left out"}}
	if l.Weight < l.Can.Most {
		try = []work.OtherLevel{l.NotGrams(system), {Mass: l.Weight * ounces, In: units.InPounds, How: "pounds, not ounces"}, {Mass: l.Weight * point, In: l.MassIn, How: "a point too far left"}}
	}
	if l.Share.Set {
		try = []work.OtherLevel{try[len(try)-1]}
	}
	try = slices.DeleteFunc(try, func(o work.OtherLevel) bool {
		return o.Mass == 0 || o.Mass > l.Slack || o.Mass < l.Can.Least/work.FarBelow || system == units.Metric && o.Mass == l.Weight*ounces
	})
	far := func(o work.OtherLevel) float64 { return rate.Off(o.Mass, max(1, l.Books)) }
	slices.SortStableFunc(try, func(a, b work.OtherLevel) int { return cmp.Compare(far(a), far(b)) })
	for _, o := range try {
		out = append(out, levelMeant(l, o, system))
	}
	return out
}

// levelMeant is the level's entry with another level in it.
func levelMeant(l *work.LevelSeen, o work.OtherLevel, system units.System) meant {
	b := *l.LevelRead
	if !l.Share.Set {
		b.Mass.Val, b.MassIn = o.Mass, o.In
		return meant{text: words.LevelText(&b, system), how: o.How, value: entry.Some(int64(o.Mass)), body: &b}
	}
	b.Share.Val = b.Share.Val / 10
	if o.Mass > l.Weight {
		b.Share.Val = l.Share.Val * 10
	}
	return meant{text: words.LevelText(&b, system), how: o.How, value: entry.Some(int64(b.Share.Val)), body: &b}
}

func (s *Slips) levelSlip(f *work.Flow, o work.OddLevel) Slip {
	l, kind := &o.LevelSeen, o.Kind
	sl := Slip{Finding: order.Finding{Kind: kind, About: "box " + s.Name(f.Box.ID), Recs: []*order.Rec{o.Rec}}, field: "mass", figure: entry.Some(int64(l.Mass.Val))}
	if l.Share.Set {
		sl.field, sl.figure = "share", entry.Some(int64(l.Share.Val))
	}
	sl.says = func() slipWords {
		text, where := words.LevelText(l.LevelRead, s.System()), s.BoxSide(l.Box, l.Side)
		w := slipWords{written: text, instead: levelsMeant(l, s.System())}
		if l.Share.Set {
			text += " would be " + s.About(l.Weight) + ", which"
		}
		if kind == conflict.LevelTooHigh {
			w.why = fmt.Sprintf("%s is more than can be in %s: %s at the most", text, where, s.About(l.Can.Most))
		} else {
			w.why = fmt.Sprintf("%s is far less than can be in %s: %s", text, where, s.heldText(l.Can.Least, l.Books))
		}
		return w
	}
	return sl
}
