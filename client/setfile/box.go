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
	dial      dialOf
}

// dialOf is what a file says of a box's dial.
type dialOf struct {
	at       node
	from, to entry.Opt[units.Dial]
	marks    []string // in place of numbers
}

func (b *box) called() string { return b.name }
func (b *box) place() node    { return b.at }

// keys are the keys of a box.
func (b *box) keys() []key {
	s := &b.set
	return []key{
		{"name", text(&b.name)},
		{"was", text(&b.was)},
		{"meter", wording(&s.Meter)},
		{"dial", b.readDial},
		{"capacity", quantity(&s.Capacity, units.ParseVolume)},
		{"sides", b.readSides},
		{"rows_fed", b.readRowsFed},
		{"own_dials", b.readOwnDials},
	}
}

// keys are the keys of a dial.
func (d *dialOf) keys() []key {
	return []key{
		{"from", quantity(&d.from, units.ParseDial)},
		{"to", quantity(&d.to, units.ParseDial)},
		{"marks", d.readMarks},
	}
}

func readBox(n node) (*box, error) {
	b := &box{at: n}
	err := n.keys("a box", b.keys()...)
	if err == nil && b.name == "" {
		err = n.refuse("a box needs a name, such as {name: grain}")
	}
	s := &b.set
	if err == nil && len(s.RowsFed) > 0 && len(s.Sides) > 0 && len(s.RowsFed) != len(s.Sides) {
		err = n.refuse("rows_fed has %s for %s: one for each is wanted, such as rows_fed: [8, 8]", units.Counted(decimal(len(s.RowsFed)), "number"), units.Counted(decimal(len(s.Sides)), "side"))
	}
	return b, err
}

// readDial reads a range of numbers, or marks, whose places are the range then.
func (b *box) readDial(n node) error {
	d := &b.dial
	d.at = n
	if err := n.keys("the dial", d.keys()...); err != nil {
		return err
	}
	switch {
	case len(d.marks) == 0:
		b.set.DialFrom, b.set.DialTo = d.from, d.to
		return nil
	case d.from.Set || d.to.Set:
		return n.refuse("a dial has numbers or marks, not both: write from and to, or marks in their order")
	case len(d.marks) < 2:
		return n.refuse("a dial has two marks or more, such as marks: [A, B, C]")
	}
	b.set.DialFrom, b.set.DialTo = entry.Some(farm.MarkedDial(0)), entry.Some(farm.MarkedDial(len(d.marks)-1))
	return nil
}

func (d *dialOf) readMarks(n node) error {
	return n.items("marks", func(n node) error {
		w, err := n.word()
		if err == nil && slices.Contains(d.marks, w) {
			err = n.refuse("mark %q stands twice: each mark stands once", w)
		}
		d.marks = append(d.marks, w)
		return err
	})
}

func (b *box) readSides(n node) error {
	return n.items("sides", func(n node) error {
		w, err := n.word()
		if err == nil && slices.Contains(b.set.Sides, w) {
			err = n.refuse("side %q stands twice: each side has a name of its own", w)
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
	will := b.will(now)
	if will.DialFrom == will.DialTo && (s.DialFrom.Set || s.DialTo.Set) {
		return b.at.refuse("the dial's range goes from %v to %v: from one end to another is wanted, such as {from: 0, to: 100}", will.DialFrom, will.DialTo)
	}
	changes := some(changed(isNew, &s.Name, now.Name), changed(isNew, &s.Meter, now.Meter),
		changed(isNew, &s.DialFrom, now.DialFrom), changed(isNew, &s.DialTo, now.DialTo),
		changed(isNew, &s.Capacity, now.Capacity), changed(isNew, &s.OwnDials, numeral(now.OwnDials)),
		changedList(&s.Sides, now.Sides), changedList(&s.RowsFed, now.RowsFed))
	if id, err = w.put(b.at, id, changes, &s); err != nil {
		return err
	}
	w.boxes[b.name], w.dials[id] = id, will
	if slices.Equal(will.MarksOf(0), now.MarksOf(0)) {
		return nil
	}
	_, err = w.add(b.dial.at, &entry.DialMarked{Box: id, Marks: will.MarksOf(0)})
	return err
}

// will is the box's dial as it stands once the file is in the record.
func (b *box) will(now farm.Box) farm.Box {
	s := b.set
	if s.DialFrom.Set {
		now.DialFrom = s.DialFrom.Val
	}
	if s.DialTo.Set {
		now.DialTo = s.DialTo.Val
	}
	if s.DialFrom.Set || s.DialTo.Set {
		now.Marks = nil
		if len(b.dial.marks) > 0 {
			now.Marks = []farm.DialMarks{{Marks: b.dial.marks}}
		}
	}
	now.Name = b.name
	return now
}

// dialOfBox is a box as chart points are read by it.
func (w *writer) dialOfBox(id entry.ID) farm.Box {
	if b, ok := w.dials[id]; ok {
		return b
	}
	b, _ := w.view.BoxOf(id)
	return b
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
