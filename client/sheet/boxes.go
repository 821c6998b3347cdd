package sheet

import (
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// fills is who filled which box with what.
func (s *Sheet) fills() *Table {
	t := &Table{Name: "fills", Title: "Who filled which box", columns: []column{
		col("time", "Time", clock), wide("box", "Box", 0.9), wide("side", "Side", 0.7), wide("lot", "Lot", 1), wide("species", "Species", 1.2),
		col("bags", "Bags", number), col("", "Seed", mass), asWritten(), wide("person", "Who", 0.9), wide("note", "Note", 1.6)}}
	for i := range s.lines {
		l := &s.lines[i]
		switch b := l.Now.(type) {
		case *entry.Filled:
			lot, _ := s.view.LotOf(b.Lot)
			t.add(s.moment(l), s.view.NameOf(b.Box), s.side(b.Box, b.Side), s.view.NameOf(b.Lot), lot.Species,
				orBlank(b.Bags), orBlank(filledMass(b, &lot)), s.written(b.Mass, b.MassIn, s.heavy()), l.By, noted(l, b.Note))
		case *entry.VolumeFilled:
			lot, _ := s.view.LotOf(b.Lot)
			m := s.measured(b.Box, l.ID)
			t.add(s.moment(l), s.view.NameOf(b.Box), s.side(b.Box, b.Side), s.view.NameOf(b.Lot), lot.Species,
				nil, known(m, m > 0), s.measure(b), l.By, noted(l, b.Note))
		}
	}
	return t
}

// asWritten is a column for masses that were written in other units than those
// of the column before it.
func asWritten() column { return wide("as_written", "As written", 0.8) }

// written is a mass as it was written; blank where it was written in the
// column's own units, or where nobody knows in which.
func (s *Sheet) written(m units.Mass, in, column units.In) value {
	if in == 0 || in == column || m == 0 {
		return nil
	}
	return m.As(in, s.System)
}

// heavy is the unit of the columns of seed.
func (s *Sheet) heavy() units.In {
	if s.System == units.Metric {
		return units.InKilograms
	}
	return units.InPounds
}

// measured is the mass of a fill by the measure; 0 where that is not known.
func (s *Sheet) measured(box, fill entry.ID) units.Mass {
	b, _ := s.view.BoxOf(box)
	for _, p := range b.Measured {
		if p.Entry == fill {
			return p.Mass
		}
	}
	return 0
}

// measure is what was poured by the measure, in words.
func (s *Sheet) measure(b *entry.VolumeFilled) string {
	text := b.Volume.As(b.VolumeIn, s.System)
	if b.Heaped {
		text += ", heaped"
	}
	return text
}

// filledMass is the mass of a fill: as weighed, or bags of the lot's bag mass.
func filledMass(b *entry.Filled, l *farm.Lot) units.Mass {
	if b.Mass > 0 {
		return b.Mass
	}
	m, _ := l.Bag.Times(b.Bags)
	return m
}

// emptied is leftovers, clean-out, and what somebody saw in a box.
func (s *Sheet) emptied() *Table {
	t := &Table{Name: "left", Title: "Leftovers, clean-out and levels", columns: []column{
		col("time", "Time", clock), wide("what", "What", 1), wide("box", "Box", 0.9), wide("side", "Side", 0.7), wide("lot", "Lot", 1), col("", "Seed", mass), asWritten(),
		wide("how", "How known", 0.9), col("full_share", "Of full", share), wide("where", "Where to, note", 1.6), wide("person", "Who", 0.9)}}
	for i := range s.lines {
		l := &s.lines[i]
		switch b := l.Now.(type) {
		case *entry.Drained:
			s.drained(t, l, b)
		case *entry.LevelRead:
			row := []value{s.moment(l), "level seen", s.view.NameOf(b.Box), s.side(b.Box, b.Side), nil, nil, nil, "seen", nil, noted(l, b.Note), l.By}
			if b.Mass.Set {
				row[5], row[6] = b.Mass.Val, s.written(b.Mass.Val, b.MassIn, s.heavy())
			} else {
				row[8] = b.Share.Val
			}
			t.add(row...)
		}
	}
	return t
}

// drained adds a row for each lot that a drain let out, by the books.
func (s *Sheet) drained(t *Table, l *words.Line, b *entry.Drained) {
	what := "let out"
	if b.All {
		what = "emptied"
	}
	rows := 0
	if box, ok := s.view.BoxOf(b.Box); ok {
		for _, x := range box.Drained {
			if x.Entry != l.ID {
				continue
			}
			how := "by the books"
			if x.Weighed {
				how = "weighed"
			}
			t.add(s.moment(l), what, s.view.NameOf(b.Box), s.side(b.Box, x.Side), s.view.NameOf(x.Lot), x.Mass, s.written(b.Mass, b.MassIn, s.heavy()), how, nil, noted(l, b.Where), l.By)
			rows++
		}
	}
	if rows == 0 {
		t.add(s.moment(l), what, s.view.NameOf(b.Box), s.side(b.Box, b.Side), nil, orBlank(b.Mass), s.written(b.Mass, b.MassIn, s.heavy()), nil, nil, noted(l, b.Where), l.By)
	}
}

// balance is each box's account over the whole record: poured in = sown + let
// out + left + not placed.
func (s *Sheet) balance() *Table {
	t := &Table{Name: "balance", Title: "Seed in and out of each box",
		Note: "Poured in = sown + let out + left + not placed, by the whole record, up to now. ± holds the truth 9 times in 10.",
		columns: []column{wide("box", "Box", 1), col("poured", "Poured in", mass), col("sown", "Sown", mass), col("sown_doubt", "±", mass),
			col("let_out", "Let out", mass), col("left", "Left", mass), col("left_doubt", "±", mass), col("not_placed", "Not placed", mass)}}
	var doubts []value
	for i := range s.view.Boxes {
		b := &s.view.Boxes[i]
		var out, std, drained units.Mass
		all := true
		for _, o := range b.Out {
			out, std, all = out+o.Mass, std+o.Std, all && !o.Unknown
		}
		for _, x := range b.Drained {
			drained += x.Mass
		}
		if poured := out + drained + b.Left + b.Gap; poured != 0 || b.Gap != 0 {
			on := inDoubt(s.rests.Box(b))
			if all && b.Gap <= belowNothing {
				on = also(on, foundMore)
			}
			t.add(b.Name, poured, known(out, all), known(halfWidth(std), all), drained, known(b.Left, !b.LeftOpen),
				known(halfWidth(b.LeftStd), !b.LeftOpen), known(b.Gap, all))
			doubts = append(doubts, on)
		}
	}
	t.marked(doubts)
	return t
}
