package farm

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// A dial may have marks in place of numbers: letters, or a gear and a number.
// In the record such a dial stands at a mark's place: 1 is the first mark.

// DialMarks are the marks on a dial of a box.
type DialMarks struct {
	Side  int64 // compartment with a dial of its own, from 1; 0 for the box's
	Marks []string
}

const onePlace units.Dial = 1000

// MarksOf is what stands on the dial of a side, which is the box's where it
// has none of its own; none where it has numbers.
func (b Box) MarksOf(side int64) []string {
	for _, of := range []int64{side, 0} {
		for _, m := range b.Marks {
			if m.Side == of {
				return m.Marks
			}
		}
	}
	return nil
}

// DialText writes a setting as it stands on the dial: its mark, or its number.
// A setting between two marks, which nobody can set, names both.
func (b Box) DialText(side int64, d units.Dial) string { return markText(b.MarksOf(side), d) }

func markText(marks []string, d units.Dial) string {
	last := units.Dial(len(marks)) * onePlace
	switch {
	case len(marks) == 0:
		return d.String()
	case d < onePlace || d > last:
		return fmt.Sprintf("place %v, where there is no mark", d)
	case d%onePlace == 0:
		return marks[d/onePlace-1]
	}
	return "between " + marks[d/onePlace-1] + " and " + marks[d/onePlace]
}

// MarkedDial is the setting of a mark's place, counted from 0.
func MarkedDial(place int) units.Dial { return units.Dial(place+1) * onePlace }

// ErrNoMark is returned for what does not stand on a dial that has marks.
var ErrNoMark = errors.New("no such mark")

// ReadDial reads a setting of a side's dial as people say it: a mark, in any
// letter case where that is clear, or a number within the dial's range. What
// does not stand on a dial with marks is an ErrNoMark.
func (b Box) ReadDial(side int64, text string, opts ...units.Option) (units.Dial, error) {
	if marks := b.MarksOf(side); len(marks) > 0 {
		i, ok := FindMark(marks, text)
		if !ok {
			return 0, fmt.Errorf("dial %q: %w: the dial of box %s has the marks %s", strings.TrimSpace(text), ErrNoMark, b.Name, strings.Join(marks, ", "))
		}
		return MarkedDial(i), nil
	}
	d, err := units.ParseDial(text, opts...)
	if err == nil && !b.OnDial(d) {
		err = fmt.Errorf("dial %v: the dial of box %s goes from %v to %v", d, b.Name, b.DialFrom, b.DialTo)
	}
	return d, err
}

// FindMark finds a mark's place, counted from 0: as it is written, or else in
// any letter case where only one fits.
func FindMark(marks []string, text string) (place int, ok bool) {
	text = strings.TrimSpace(text)
	if i := slices.Index(marks, text); i >= 0 {
		return i, true
	}
	found := -1
	for i, m := range marks {
		if strings.EqualFold(m, text) {
			if found >= 0 {
				return 0, false
			}
			found = i
		}
	}
	return found, found >= 0
}

// OnDial says whether a setting lies within the dial's range; any does where
// nobody said what that is. A dial whose range falls gives less at more.
func (b Box) OnDial(d units.Dial) bool {
	if b.DialFrom == b.DialTo {
		return true
	}
	return d >= min(b.DialFrom, b.DialTo) && d <= max(b.DialFrom, b.DialTo)
}

// marksOf is what stands on a dial of a box; the box's where the side has none.
func (s *workSt) marksOf(id entry.ID, side int64) []string {
	t, ok := s.things[s.canon(id)]
	if !ok {
		return nil
	}
	for _, of := range []int64{side, 0} {
		if v, ok := t.get(field{num: fieldMarks, n: of}); ok && v.s != "" {
			return strings.Split(v.s, "\x00")
		}
	}
	return nil
}

// dialText writes a setting of a box's dial as it stands there.
func (s *workSt) dialText(id entry.ID, side int64, d units.Dial) string {
	return markText(s.marksOf(id, side), d)
}

// dialOfEntry is the box and side whose dial an entry sets.
func (s *workSt) dialOfEntry(id entry.ID) (of entry.ID, side int64) {
	if r := s.find(id); r != nil {
		if b, ok := r.body.(*entry.DialMoved); ok {
			return b.Box, b.Side
		}
	}
	return entry.ID{}, 0
}
