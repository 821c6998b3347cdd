package page

import (
	"slices"
	"strconv"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// doubtsPage is what only people can settle.
type doubtsPage struct {
	Open, Settled []words.Doubt
}

func doubts(q *request) (any, error) {
	var v doubtsPage
	for d := range words.Doubts(q.View) {
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
	words.Doubt
	Lines  []words.Line // what was written
	By     words.Line   // the settlement, where there is one
	OnDial bool         // it is settled by what the dial reads
	Began  bool         // it is settled by what the counter showed when work began
}

func (f *doubtForm) load(q *request) error {
	for d := range words.Doubts(q.View) {
		if d.ID() != q.r.PathValue("id") {
			continue
		}
		f.Doubt, f.OnDial, f.Began = d, d.Kind == farm.TwoSettings, d.Kind == farm.CounterBegin
		for _, id := range d.Entries {
			if l, ok := q.page.farm.Line(id); ok {
				f.Lines = append(f.Lines, l)
			}
		}
		f.By, _ = q.page.farm.Line(d.By)
		return nil
	}
	return errNotThere
}

func (f *doubtForm) bodies(q *request) []entry.Body {
	s := client.Settle{Doubt: f.ID(), Why: q.Val("why")}
	switch {
	case f.OnDial:
		q.need("dial")
		box, side := f.dialOf(q)
		s.Dial = entry.Some(q.Dial("dial", box, side))
	case f.Began:
		q.need("reading")
		s.Began = q.Counter("reading")
	default:
		n, err := strconv.Atoi(q.Val("choice"))
		if err != nil || n < 0 || n >= len(f.Choices) {
			q.refuse("choice", texts.Text("doubt.choose"))
			return nil
		}
		s.Choice = f.Choices[n].Word
	}
	return q.intend(nil, s)
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

// May says whether who is writing may settle it: an operator may, and whoever
// wrote what is unlikely, poured a second seed onto the first, or read the
// counter first.
func (f *doubtForm) May(q *request) bool {
	own := (f.Kind.IsSlip() || f.Kind == farm.TwoSeeds || f.Kind == farm.CounterBegin) && !slices.ContainsFunc(f.Lines, func(l words.Line) bool { return l.Person != q.Who })
	return q.MayOperate() || own && q.Role() >= entry.Helper
}

func (f *doubtForm) done() string { return "/doubts" }
