package slip

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/tell"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// levelsMeant are the levels that may have been meant, the nearest to the books first.
func levelsMeant(l *work.LevelSeen, system units.System) (out []meant) {
	const ounces, point = 16, 10
	try := []work.OtherLevel{{Mass: l.Weight / point, In: l.MassIn, How: message.Of("how.point-left-out")}}
	if l.Weight < l.Can.Most {
		try = []work.OtherLevel{l.NotGrams(system), {Mass: l.Weight * ounces, In: units.InPounds, How: message.Of("how.pounds-not-ounces")}, {Mass: l.Weight * point, In: l.MassIn, How: message.Of("how.point-too-far-left")}}
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
		out = append(out, levelMeant(l, o))
	}
	return out
}

// levelMeant is the level's entry with another level in it.
func levelMeant(l *work.LevelSeen, o work.OtherLevel) meant {
	b := *l.LevelRead
	if !l.Share.Set {
		b.Mass.Val, b.MassIn = o.Mass, o.In
		return meant{text: shown(tell.Level(&b)), how: o.How, value: entry.Some(int64(o.Mass)), body: &b}
	}
	b.Share.Val = b.Share.Val / 10
	if o.Mass > l.Weight {
		b.Share.Val = l.Share.Val * 10
	}
	return meant{text: shown(tell.Level(&b)), how: o.How, value: entry.Some(int64(b.Share.Val)), body: &b}
}

func (s *Slips) levelSlip(f *work.Flow, o work.OddLevel) Slip {
	l, kind := &o.LevelSeen, o.Kind
	sl := Slip{Finding: order.Finding{Kind: kind, About: s.ThingText(f.Box), Recs: []*order.Rec{o.Rec}}, field: "mass", figure: entry.Some(int64(l.Mass.Val))}
	if l.Share.Set {
		sl.field, sl.figure = "share", entry.Some(int64(l.Share.Val))
	}
	sl.says = func() reason {
		level, where := tell.Level(l.LevelRead), s.BoxText(l.Box, l.Side)
		w := reason{written: shown(level), instead: levelsMeant(l, s.System())}
		if l.Share.Set {
			level = message.Of("slip.share-would-be", level, message.AboutMass(l.Weight))
		}
		if kind == conflict.LevelTooHigh {
			w.why = message.Of("slip.level-high", level, where, message.Of("held.most", message.AboutMass(l.Can.Most)))
		} else {
			w.why = message.Of("slip.level-low", level, where, held(l.Can.Least, l.Books))
		}
		return w
	}
	return sl
}
