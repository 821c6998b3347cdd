package view

import (
	"fmt"
	"strings"

	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

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

// Mark is a setting as it stands on the dial: its mark, or its number.
// A setting between two marks, which nobody can set, names both.
func (b Box) Mark(side int64, d units.Dial) message.Arg { return work.Mark(b.MarksOf(side), d) }

// ReadDial reads a setting of a side's dial as people say it: a mark, in any
// letter case where that is clear, or a number within the dial's range. What
// does not stand on a dial with marks is an ErrNoMark.
func (b Box) ReadDial(side int64, text string, opts ...units.Option) (units.Dial, error) {
	if marks := b.MarksOf(side); len(marks) > 0 {
		i, ok := work.FindMark(marks, text)
		if !ok {
			return 0, fmt.Errorf("dial %q: %w: the dial of box %s has the marks %s", strings.TrimSpace(text), work.ErrNoMark, b.Name, strings.Join(marks, ", "))
		}
		return work.MarkedDial(i), nil
	}
	d, err := units.ParseDial(text, opts...)
	if err == nil && !b.OnDial(d) {
		err = fmt.Errorf("dial %v: the dial of box %s goes from %v to %v", d, b.Name, b.DialFrom, b.DialTo)
	}
	return d, err
}

// OnDial says whether a setting lies within the dial's range; any does where
// nobody said what that is. A dial whose range falls gives less at more.
func (b Box) OnDial(d units.Dial) bool {
	if b.DialFrom == b.DialTo {
		return true
	}
	return d >= min(b.DialFrom, b.DialTo) && d <= max(b.DialFrom, b.DialTo)
}
