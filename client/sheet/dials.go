package sheet

import (
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// dials is each change of a dial, with who and why.
func (s *Sheet) dials() *Table {
	t := &Table{Name: "dials", Title: "Dials, and each change", columns: []column{
		col("time", "Time", clock), wide("box", "Box", 0.9), wide("side", "Side", 0.7), col("from", "From", dial), col("to", "To", dial),
		col("aim", "Aiming at", bulk), col("counter", "Counter", number), wide("person", "Who", 0.9), wide("why", "Why", 2), quiet("entry", prose)}}
	standing(s, func(l *words.Line, b *entry.DialMoved) {
		var from, at value
		if b.From.Set {
			from = s.dialOn(b.Box, b.Side, b.From.Val)
		}
		if b.Reading.Set {
			at = b.Reading.Val
		}
		t.add(s.moment(l), s.view.NameOf(b.Box), s.side(b.Box, b.Side), from, s.dialOn(b.Box, b.Side, b.To), orBlank(b.Aim), at, l.By, noted(l, b.Why), l.ID.String())
	})
	return t
}

// dialOn is a setting as it stands on a box's dial: its number, or its mark.
func (s *Sheet) dialOn(box entry.ID, side int64, d units.Dial) value {
	if b, _ := s.view.BoxOf(box); len(b.MarksOf(side)) > 0 {
		return words.Mark(b, side, d)
	}
	return d
}

// dialsNow is how each box's dial stands, by the record up to now.
func (s *Sheet) dialsNow() *Table {
	t := &Table{Name: "boxes", Title: "Boxes as they stand now", columns: []column{
		wide("drill", "Drill", 1.1), wide("box", "Box", 0.9), wide("side", "Side", 0.7), col("dial", "Dial", dial), wide("holds", "Holds", 2), col("left", "Left", mass),
		col("doubt", "±", mass), col("rate", "Rate", bulk), col("low", "From", bulk), col("high", "To", bulk), col("aim", "Aim", bulk), wide("basis", "Rests on", 1.4)}}
	var doubts []value
	for i := range s.view.Boxes {
		b := &s.view.Boxes[i]
		rows := []farm.SideNow{wholeBox(b)}
		if len(b.SidesNow) > 1 && (b.OwnDials || !b.OneDial()) {
			rows = b.SidesNow
		}
		for j := range rows {
			s.boxRow(t, b, &rows[j])
			doubts = append(doubts, inDoubt(s.rests.Box(b)))
		}
	}
	t.marked(doubts)
	return t
}

// wholeBox is a box as if it had one compartment: where its sides have no dials
// of their own, or stand alike.
func wholeBox(b *farm.Box) farm.SideNow {
	n := farm.SideNow{Dial: b.Dial, DialSet: b.DialSet, Left: b.Left, LeftStd: b.LeftStd, LeftOpen: b.LeftOpen, Rate: b.Rate, Basis: b.Basis}
	if len(b.SidesNow) > 0 {
		n.Dial, n.DialSet = b.SidesNow[0].Dial, b.SidesNow[0].DialSet
	}
	return n
}

// boxRow adds a row for a box, or a side of it, as it stands.
func (s *Sheet) boxRow(t *Table, b *farm.Box, n *farm.SideNow) {
	var side, setting, r, low, high value
	if n.Side > 0 {
		side = s.side(b.ID, n.Side)
	}
	if n.DialSet {
		setting = s.dialOn(b.ID, n.Side, n.Dial)
	}
	if n.Rate != nil {
		r, low, high = n.Rate.Rate, n.Rate.Low, n.Rate.High
	}
	t.add(s.view.NameOf(b.Drill), b.Name, side, setting, s.holds(b, n.Side), known(n.Left, !n.LeftOpen), known(halfWidth(n.LeftStd), !n.LeftOpen),
		r, low, high, orBlank(b.Aim), basis(n.Basis))
}

// basis is what a rate rests on; blank where there is none.
func basis(b rate.Basis) value {
	if b == "" {
		return ""
	}
	return string(b)
}

// holds is the seed in a box, or in one side of it, in words.
func (s *Sheet) holds(b *farm.Box, side int64) string {
	text := ""
	for _, x := range b.Seed {
		if side > 0 && x.Side != side {
			continue
		}
		if text != "" {
			text += ", "
		}
		if b.LeftOpen {
			text += "at most "
		}
		text += x.Mass.About(s.System) + " of " + s.view.NameOf(x.Lot)
		if n := s.side(b.ID, x.Side); n != "" && side == 0 {
			text += " (" + n + ")"
		}
	}
	return text
}

// catches is each catch, with the rate that it shows.
func (s *Sheet) catches() *Table {
	t := &Table{Name: "catches", Title: "Catches", Note: "From and to hold the true rate 9 times in 10.", columns: []column{
		col("time", "Time", clock), wide("box", "Box", 0.9), wide("lot", "Lot", 1), col("dial", "Dial", dial), wide("over", "Over", 0.9), col("rows", "Rows", whole),
		col("caught", "Caught", scale), asWritten(), col("rate", "Rate", bulk), col("low", "From", bulk), col("high", "To", bulk), wide("person", "Who", 0.9), wide("note", "Note", 1.4)}}
	standing(s, func(l *words.Line, b *entry.Caught) {
		box, _ := s.view.BoxOf(b.Box)
		drill, _ := s.view.DrillOf(box.Drill)
		var r, low, high value
		if c, err := farm.CatchOf(b, drill).Rate(); err == nil {
			if e, err := c.Measured(b.Dial).RateEstimate(); err == nil {
				r, low, high = e.Rate, e.Low, e.High
			}
		}
		t.add(s.moment(l), s.view.NameOf(b.Box), s.view.NameOf(b.Lot), s.dialOn(b.Box, b.Side, b.Dial), s.over(b), b.Rows, grams(caught(b)), s.written(caught(b), b.MassIn, units.InGrams), r, low, high, l.By, noted(l, b.Note))
	})
	return t
}

// over is what a catch was taken over.
func (s *Sheet) over(b *entry.Caught) string {
	if b.Distance > 0 {
		return b.Distance.As(b.DistanceIn, s.System)
	}
	return units.Counted(b.Turns.String(), "turn")
}

// caught is the mass of a catch, in the mean of its repeats; rows weighed apart
// stand above one figure for all.
func caught(b *entry.Caught) units.Mass {
	var sum units.Mass
	if len(b.RowMasses) > 0 {
		for _, m := range b.RowMasses {
			sum += m
		}
		return sum
	}
	for _, m := range b.Masses {
		sum += m
	}
	return sum / units.Mass(max(1, len(b.Masses)))
}
