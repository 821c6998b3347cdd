package page

import (
	"turnrow/client/words"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// dialOn is a setting as it stands on a side's dial: its mark, or its number to
// a tenth.
func dialOn(b farm.Box, side int64, d units.Dial) string {
	if len(b.MarksOf(side)) > 0 {
		return words.Mark(b, side, d)
	}
	return mark(d)
}

// AimMarksText says which marks lie around the aim and what each gives; empty
// where the dial has numbers.
func (q *request) AimMarksText(b farm.Box) string {
	text := ""
	for _, m := range b.AimMarks {
		if text != "" {
			text += " "
		}
		text += texts.Text("dial.markgives", words.Mark(b, 0, m.Dial), m.Rate.Rate.Format(q.System), span(m.Rate.Low.Format(q.System), m.Rate.High.Format(q.System)))
	}
	return text
}
