package client

import (
	"slices"
	"strings"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Note is a note, about the day or about something.
type Note struct {
	Text  string
	About entry.ID // a thing or an entry; zero is the day
}

func (n Note) bodies(*Farm, Look, func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	r.because(strings.TrimSpace(n.Text) == "", "text", Missing, "")
	return r.or(&entry.Noted{Text: n.Text, About: n.About})
}

// Settle is which reading of a doubt stands, and how somebody knows.
type Settle struct {
	Doubt  string                   // its ID
	Choice string                   // one of its choices, by its word; none where a dial or a reading settles it
	Dial   entry.Opt[units.Dial]    // two settings of one dial are settled by what it shows
	Began  entry.Opt[units.Reading] // a first reading is settled by what the counter showed when work began
	Why    string
}

func (s Settle) bodies(on *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	d, ok := DoubtOf(v, s.Doubt)
	if r.because(!ok, "doubt", NotHere, "") {
		return nil, r.list
	}
	if d.Kind == farm.TwoSettings {
		r.because(!s.Dial.Set, "dial", Missing, "")
		return r.or(&entry.Settled{Doubt: string(d.Kind), Entries: d.Entries, Why: s.Why, Dial: s.Dial})
	}
	choice := r.choice(on, &d, s)
	return r.or(d.Settling(choice.Choice, s.Why, choice.What)...)
}

// DoubtOf finds a doubt by its ID.
func DoubtOf(v *farm.View, id string) (words.Doubt, bool) {
	for d := range words.Doubts(v) {
		if d.ID() == id {
			return d, true
		}
	}
	return words.Doubt{}, false
}

// choice is the choice of a doubt that stands, with the figure that goes with
// it.
func (r *refusing) choice(on *Farm, d *words.Doubt, s Settle) (out words.Choice) {
	i := slices.IndexFunc(d.Choices, func(c words.Choice) bool {
		return strings.EqualFold(c.Word, s.Choice) || s.Choice == "" && s.Began.Set && c.Say == entry.BeganAt
	})
	if r.because(i < 0, "choice", NoSuchChoice, "") {
		return out
	}
	out = d.Choices[i]
	if out.Say != entry.BeganAt {
		r.because(s.Began.Set, "reading", FigureUnwanted, out.Word)
		return out
	}
	r.because(!s.Began.Set, "reading", NoFigure, out.Word)
	if read := on.readingOf(d); read.Set && s.Began.Val > read.Val {
		r.because(true, "reading", AboveReading, read.Val.String())
	}
	out.Value = entry.Opt[int64]{Set: s.Began.Set, Val: int64(s.Began.Val)}
	return out
}

// readingOf is the least reading that a doubt is about, if it is about any.
func (f *Farm) readingOf(d *words.Doubt) (least entry.Opt[units.Reading]) {
	for _, id := range d.Entries {
		l, _ := f.Line(id)
		if b, ok := l.Now.(*entry.MeterRead); ok && (!least.Set || b.Reading < least.Val) {
			least = entry.Some(b.Reading)
		}
	}
	return least
}
