package work

import (
	"errors"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
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

// Mark is a setting as it stands on a dial with marks, or with numbers where there are none.
func Mark(marks []string, d units.Dial) message.Arg {
	last := units.Dial(len(marks)) * onePlace
	switch {
	case len(marks) == 0:
		return message.Decimal(d)
	case d < onePlace || d > last:
		return message.Of("mark.none", message.Decimal(d))
	case d%onePlace == 0:
		return message.Text(marks[d/onePlace-1])
	}
	return message.Of("mark.between", message.Text(marks[d/onePlace-1]), message.Text(marks[d/onePlace]))
}

// MarkedDial is the setting of a mark's place, counted from 0.
func MarkedDial(place int) units.Dial { return units.Dial(place+1) * onePlace }

// ErrNoMark is returned for what does not stand on a dial that has marks.
var ErrNoMark = errors.New("no such mark")

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

// MarksOf is what stands on a dial of a box; the box's where the side has none.
func (s *Work) MarksOf(id entry.ID, side int64) []string {
	t, ok := s.ByID[s.Canon(id)]
	if !ok {
		return nil
	}
	for _, of := range []int64{side, 0} {
		if v, ok := t.Get(thing.Field{Num: thing.FieldMarks, N: of}); ok && v.S != "" {
			return strings.Split(v.S, "\x00")
		}
	}
	return nil
}

// Mark is a setting of a box's dial as it stands there.
func (s *Work) Mark(id entry.ID, side int64, d units.Dial) message.Arg {
	return Mark(s.MarksOf(id, side), d)
}

// BoxText is a box, and which side of it.
func (s *Work) BoxText(b entry.ID, side int64) message.Message {
	if side == 0 {
		return message.Of("box", s.Called(b))
	}
	if t, ok := s.ByID[b]; ok {
		if names, _ := SidesOf(t); side <= int64(len(names)) {
			return message.Of("box.side", s.Called(b), message.Text(names[side-1]))
		}
	}
	return message.Of("box.side-number", s.Called(b), message.Whole(side))
}

// DialOfEntry is the box and side whose dial an entry sets.
func (s *Work) DialOfEntry(id entry.ID) (of entry.ID, side int64) {
	if r := s.Find(id); r != nil {
		if b, ok := r.Body.(*entry.DialMoved); ok {
			return b.Box, b.Side
		}
	}
	return entry.ID{}, 0
}
