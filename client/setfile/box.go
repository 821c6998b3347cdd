package setfile

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// box is a seed box of the file.
type box struct {
	at        node
	name, was string
	set       entry.BoxSet
}

func (b *box) called() string { return b.name }
func (b *box) place() node    { return b.at }

func readBox(n node) (*box, error) {
	b := &box{at: n}
	s := &b.set
	err := n.keys("a box",
		key{"name", text(&b.name)},
		key{"was", text(&b.was)},
		key{"meter", words(&s.Meter)},
		key{"dial", func(n node) error {
			return n.keys("the dial's range", key{"from", quantity(&s.DialFrom, units.ParseDial)}, key{"to", quantity(&s.DialTo, units.ParseDial)})
		}},
		key{"capacity", quantity(&s.Capacity, units.ParseVolume)},
		key{"sides", b.readSides},
		key{"rows_fed", b.readRowsFed},
		key{"own_dials", b.readOwnDials})
	if err == nil && b.name == "" {
		err = n.refuse("a box needs a name")
	}
	if err == nil && len(s.RowsFed) > 0 && len(s.Sides) > 0 && len(s.RowsFed) != len(s.Sides) {
		err = n.refuse("rows_fed has %d numbers for %d sides: one for each is wanted", len(s.RowsFed), len(s.Sides))
	}
	return b, err
}

func (b *box) readSides(n node) error {
	return n.items("sides", func(n node) error {
		w, err := n.word()
		if err == nil && slices.Contains(b.set.Sides, w) {
			err = n.refuse("side %q stands twice", w)
		}
		b.set.Sides = append(b.set.Sides, w)
		return err
	})
}

func (b *box) readRowsFed(n node) error {
	return n.items("rows_fed", func(n node) error {
		var rows entry.Opt[int64]
		err := optional(&rows, whole)(n)
		b.set.RowsFed = append(b.set.RowsFed, rows.Val)
		return err
	})
}

func (b *box) readOwnDials(n node) error {
	var own bool
	err := yes(&own)(n)
	b.set.OwnDials = entry.Some(int64(0))
	if own {
		b.set.OwnDials.Val = 1
	}
	return err
}

func (w *writer) setBox(b *box) error {
	id, err := w.match(b.at, "box", b.name, b.was, w.boxThings())
	if err != nil {
		return err
	}
	now, _ := w.view.BoxOf(id)
	s := b.set
	s.Box, s.Name = id, entry.Some(b.name)
	isNew := id.IsZero()
	if isNew {
		s.Drill = w.drill
	}
	changes := some(changed(isNew, &s.Name, now.Name), changed(isNew, &s.Meter, now.Meter),
		changed(isNew, &s.DialFrom, now.DialFrom), changed(isNew, &s.DialTo, now.DialTo),
		changed(isNew, &s.Capacity, now.Capacity), changed(isNew, &s.OwnDials, numeral(now.OwnDials)),
		changedList(&s.Sides, now.Sides), changedList(&s.RowsFed, now.RowsFed))
	if err := b.checkDial(s, now); err != nil {
		return err
	}
	w.boxes[b.name], err = w.put(b.at, id, changes, &s)
	return err
}

// checkDial checks a range of which one end is set and the other is known.
func (b *box) checkDial(s entry.BoxSet, now farm.Box) error {
	from, to := now.DialFrom, now.DialTo
	if s.DialFrom.Set {
		from = s.DialFrom.Val
	}
	if s.DialTo.Set {
		to = s.DialTo.Val
	}
	if (s.DialFrom.Set || s.DialTo.Set) && to <= from {
		return b.at.refuse("the dial's range goes from %v to %v: from a mark to a higher one is wanted", from, to)
	}
	return nil
}

// changedList leaves a list out where it is what is so.
func changedList[T comparable](l *[]T, now []T) bool {
	if slices.Equal(*l, now) {
		*l = nil
	}
	return len(*l) > 0
}

func numeral(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

// boxThings are the boxes of the drill in question.
func (w *writer) boxThings() []thing {
	var ts []thing
	for _, b := range w.view.Boxes {
		if w.drill.IsZero() || b.Drill == w.drill {
			ts = append(ts, thing{b.ID, b.Name})
		}
	}
	return ts
}
