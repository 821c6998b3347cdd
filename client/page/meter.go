package page

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// meterForm writes a reading of a drill's counter.
type meterForm struct {
	Drill  farm.Drill
	Last   *farm.Reading
	LastBy farm.Line
	Ground string // to begin with: the one that was worked last
	Since  units.Area
	Back   bool // the reading lies below the last one
}

func (f *meterForm) load(q *request) (err error) {
	if f.Drill, err = q.drill(); err != nil {
		return err
	}
	if f.Last = f.Drill.Reading; f.Last != nil {
		f.LastBy, _ = q.page.client.Line(f.Last.Entry)
		f.Ground = f.Last.Ground.String()
	} else if len(q.View.Grounds) == 1 {
		f.Ground = q.View.Grounds[0].ID.String()
	}
	return nil
}

func (f *meterForm) bodies(q *request) []entry.Body {
	q.need("reading")
	b := &entry.MeterRead{Drill: f.Drill.ID, Reading: read(q.form, "reading", units.ParseReading), Note: q.Val("note")}
	ground, err := entry.ParseID(q.Or("ground", f.Ground))
	if err != nil && len(q.View.Grounds) > 0 {
		q.refuse("ground", words.text("meter.ground"))
	}
	b.Ground = ground
	f.Back = f.Last != nil && b.Reading < f.Last.Reading && len(q.Wrong) == 0
	switch {
	case f.Back && q.Val("back") == "reset":
		return []entry.Body{&entry.CounterReset{Drill: f.Drill.ID, From: f.Last.Reading, Why: q.Val("note")}, b}
	case f.Back && q.Val("back") != "sure":
		q.refuse("reading", words.text("meter.back", f.Last.Reading))
	}
	return []entry.Body{b}
}

func (f *meterForm) done() string { return "/" }

// preview says how much was worked since the last reading.
func (f *meterForm) preview(q *request) {
	r, err := units.ParseReading(q.Val("reading"), units.DecimalComma())
	if err != nil || f.Last == nil {
		return
	}
	f.Back = r < f.Last.Reading
	f.Since = counterArea(f.Drill, r-f.Last.Reading)
}

// counterArea is the area that a difference of a counter stands for.
func counterArea(d farm.Drill, diff units.Reading) units.Area {
	acres := diff.Float()
	if d.Counter == entry.CountsTurns {
		if d.CounterTurns <= 0 {
			return 0
		}
		acres /= d.CounterTurns.Float()
	}
	a, err := units.AreaFromAcres(max(0, acres))
	if err != nil {
		return 0
	}
	return a
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
	q.need("text")
	return []entry.Body{&entry.Noted{Text: q.Val("text"), About: f.about}}
}

func (f *noteForm) done() string { return "/log" }
