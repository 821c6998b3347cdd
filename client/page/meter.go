package page

import (
	"turnrow/client"
	"turnrow/client/fields"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// meterForm writes a reading of a drill's counter, and where the counter stood
// when work began, where that is not known.
type meterForm struct {
	Drill  farm.Drill
	Last   *farm.Reading
	LastBy words.Line
	Ground string // to begin with: the one that was worked last
	Since  units.Area
	Typed  string // the reading, once it can be read
	Back   bool   // the reading lies below the last one
	Ask    bool   // nobody can know whether the crew worked up to it
	Anew   bool   // since the drill was hitched anew: others may have had it
}

func (f *meterForm) load(q *request) (err error) {
	if f.Drill, err = q.drill(); err != nil {
		return err
	}
	if f.Last = f.Drill.Reading; f.Last != nil {
		f.LastBy, _ = q.page.farm.Line(f.Last.Entry)
		f.Ground = f.Last.Ground.String()
	} else if len(q.View.Grounds) == 1 {
		f.Ground = q.View.Grounds[0].ID.String()
	}
	f.Anew = f.hitchedAnew(q)
	f.Ask = !f.Drill.Seen || f.Anew
	return nil
}

// hitchedAnew says whether the drill was hitched again since its counter was
// read last.
func (f *meterForm) hitchedAnew(q *request) bool {
	hitched, ok := q.page.farm.Line(f.Drill.Hitch.Begun)
	return ok && f.Last != nil && hitched.Clock > f.LastBy.Clock
}

// What the reading is, as the form posts it.
const (
	begins = "begins" // the counter stands there as work begins
	worked = "worked" // the crew has worked up to it
)

func (f *meterForm) bodies(q *request) []entry.Body {
	q.need("reading")
	m := client.Read{Drill: f.Drill.ID, Reading: fields.Read(q.Reader, "reading", units.ParseReading), Note: q.Val("note")}
	ground, err := entry.ParseID(q.Or("ground", f.Ground))
	if err != nil && len(q.View.Grounds) > 0 {
		q.refuse("ground", texts.Text("meter.ground"))
	}
	m.Ground = ground
	f.same(m.Reading)
	if q.Val("what") == begins || f.Ask && !f.Drill.Seen && m.Reading == 0 && q.Has("reading") {
		return q.intend(nil, client.Begin{Drill: f.Drill.ID, Reading: m.Reading, Ground: ground, Why: m.Note})
	}
	var before []client.Intent
	if f.Ask {
		before = f.stood(q, m)
	}
	f.Back = f.Last != nil && m.Reading < f.Last.Reading && len(q.Wrong) == 0
	if f.Back && q.Val("back") == "reset" { // else it is asked what came of it
		before = []client.Intent{client.Reset{Drill: f.Drill.ID, From: f.Last.Reading, Why: q.Val("note")}}
	}
	return q.intend(say{client.Missing: "meter.ground"}, append(before, m)...)
}

// same drops the question where the counter stands as it was left.
func (f *meterForm) same(r units.Reading) {
	f.Ask = f.Ask && (f.Last == nil || r > f.Last.Reading)
}

// stood is where the counter stood when the crew began to work, where that is
// not where it was read last.
func (f *meterForm) stood(q *request, m client.Read) []client.Intent {
	if q.Val("what") != worked {
		q.refuse("what", texts.Text("meter.what.ask"))
		return nil
	}
	q.need("stood")
	at := fields.Read(q.Reader, "stood", units.ParseReading)
	switch {
	case at > m.Reading:
		q.refuse("stood", texts.Text("meter.stood.above", m.Reading))
	case f.Last != nil && at == f.Last.Reading:
		return nil
	}
	return []client.Intent{client.Begin{Drill: f.Drill.ID, Reading: at, Ground: m.Ground}}
}

// Stood is where the counter stood by what was read last.
func (f *meterForm) Stood() string {
	if f.Last == nil {
		return ""
	}
	return f.Last.Reading.String()
}

func (f *meterForm) done() string { return "/" }

// preview says how much was worked since the last reading.
func (f *meterForm) preview(q *request) {
	r, err := units.ParseReading(q.Val("reading"), units.DecimalComma())
	if err != nil {
		return
	}
	f.Typed = r.String()
	if f.same(r); f.Last == nil {
		return
	}
	if f.Back = r < f.Last.Reading; q.Val("what") != begins {
		f.Since = f.Drill.AreaOf(r - f.Last.Reading)
	}
}

// noteForm writes words.
type noteForm struct {
	About string // what it is about, in words; empty for the day
	about entry.ID
}

func (f *noteForm) load(q *request) error {
	f.about = q.id("about")
	f.About = q.View.NameOf(f.about)
	return nil
}

func (f *noteForm) bodies(q *request) []entry.Body {
	return q.intend(nil, client.Note{Text: q.Val("text"), About: f.about})
}

func (f *noteForm) done() string { return "/log" }
