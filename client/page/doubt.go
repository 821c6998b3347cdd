package page

import (
	"slices"
	"strconv"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// doubtsPage is what only people can settle.
type doubtsPage struct {
	Open, Settled []farm.Doubt
}

func doubts(q *request) (any, error) {
	var v doubtsPage
	for d := range q.View.Doubts() {
		if d.Settled {
			v.Settled = append(v.Settled, d)
		} else {
			v.Open = append(v.Open, d)
		}
	}
	return v, nil
}

// doubtForm settles a doubt.
type doubtForm struct {
	farm.Doubt
	Lines  []farm.Line // what was written
	By     farm.Line   // the settlement, where there is one
	OnDial bool        // it is settled by what the dial reads
	Began  bool        // it is settled by what the counter showed when work began
}

func (f *doubtForm) load(q *request) error {
	for d := range q.View.Doubts() {
		if d.ID() != q.r.PathValue("id") {
			continue
		}
		f.Doubt, f.OnDial, f.Began = d, d.Kind == farm.TwoSettings, d.Kind == farm.CounterBegin
		for _, id := range d.Entries {
			if l, ok := q.page.client.Line(id); ok {
				f.Lines = append(f.Lines, l)
			}
		}
		f.By, _ = q.page.client.Line(d.By)
		return nil
	}
	return errNotThere
}

func (f *doubtForm) bodies(q *request) []entry.Body {
	if f.OnDial {
		q.need("dial")
		box, side := f.dialOf(q)
		return []entry.Body{&entry.Settled{Doubt: string(f.Kind), Entries: f.Entries, Why: q.Val("why"),
			Dial: entry.Some(q.dial("dial", box, side))}}
	}
	if f.Began {
		return f.began(q)
	}
	n, err := strconv.Atoi(q.Val("choice"))
	if err != nil || n < 0 || n >= len(f.Choices) {
		q.refuse("choice", words.text("doubt.choose"))
		return nil
	}
	return f.Settling(f.Choices[n], q.Val("why"))
}

// dialOf is the box and side whose dial is in doubt.
func (f *doubtForm) dialOf(q *request) (box farm.Box, side int64) {
	for _, l := range f.Lines {
		if b, ok := l.Body.(*entry.DialMoved); ok {
			box, _ = q.View.BoxOf(b.Box)
			side = b.Side
		}
	}
	return box, side
}

// began settles where the counter stood when work began.
func (f *doubtForm) began(q *request) []entry.Body {
	q.need("reading")
	at := optional(q.form, "reading", units.ParseReading)
	for i := range f.Lines {
		if b, ok := f.Lines[i].Now.(*entry.MeterRead); ok && at.Set && at.Val > b.Reading {
			q.refuse("reading", words.text("doubt.began.above", b.Reading))
		}
	}
	c := farm.Choice{Say: entry.BeganAt, Value: entry.Opt[int64]{Set: at.Set, Val: int64(at.Val)}}
	return f.Settling(c, q.Val("why"))
}

// May says whether who is writing may settle it: an operator may, and whoever
// wrote what is unlikely, poured a second seed onto the first, or read the
// counter first.
func (f *doubtForm) May(q *request) bool {
	own := (f.Kind.IsSlip() || f.Kind == farm.TwoSeeds || f.Kind == farm.CounterBegin) && !slices.ContainsFunc(f.Lines, func(l farm.Line) bool { return l.Person != q.Who })
	return q.MayOperate() || own && q.Role() >= entry.Helper
}

func (f *doubtForm) done() string { return "/doubts" }
