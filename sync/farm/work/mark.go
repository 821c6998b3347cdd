package work

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
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

// MarkText writes a setting as it stands on a dial with marks, or with numbers where there are none.
func MarkText(marks []string, d units.Dial) string {
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

// DialText writes a setting of a box's dial as it stands there.
func (s *Work) DialText(id entry.ID, side int64, d units.Dial) string {
	return MarkText(s.MarksOf(id, side), d)
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
