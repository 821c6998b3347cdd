package page

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// catchForm writes a catch, and says what rate it shows while it is typed.
type catchForm struct {
	Box    farm.Box
	Drill  farm.Drill
	Lots   []lotChoice
	Preset string
	Last   *entry.Caught // of this box, to begin with its run
	Shown  *rate.CatchRate
	Next   rate.Decision // against the aim
	Advice string
	Wants  units.Mass // to catch, for the aim
}

func (f *catchForm) load(q *request) (err error) {
	if f.Box, err = q.pathBox(); err != nil {
		return err
	}
	f.Drill, _ = q.View.DrillOf(f.Box.Drill)
	f.Lots = q.lotsFor(f.Box)
	f.Preset = preset(f.Lots)
	if len(f.Box.Seed) > 0 {
		f.Preset = f.Box.Seed[0].Lot.String() // what is at the bottom is what is caught
	}
	for i := len(f.Box.Events) - 1; i >= 0 && f.Last == nil; i-- {
		if l, ok := q.page.client.Line(f.Box.Events[i]); ok {
			f.Last, _ = l.Now.(*entry.Caught)
		}
	}
	return nil
}

// Begin is what stands in a field to begin with: the run of the last catch.
func (f *catchForm) Begin(field string) string {
	switch {
	case field == "dial" && f.Box.DialSet:
		return f.Box.DialText(0, f.Box.Dial)
	case f.Last == nil:
		return ""
	case field == "turns" && f.Last.Turns > 0:
		return f.Last.Turns.String()
	case field == "rows":
		return units.Count(f.Last.Rows * 1000).String()
	case field == "resolution" && f.Last.Resolution > 0:
		return f.Last.Resolution.String()
	}
	return ""
}

func (f *catchForm) bodies(q *request) []entry.Body {
	b := f.read(q)
	if b.Lot.IsZero() {
		q.refuse("lot", words.text("form.lot"))
	}
	q.need("dial")
	q.need("turns")
	if len(b.RowMasses) == 0 {
		q.need("rows")
		q.need("caught")
	}
	if len(q.Wrong) == 0 {
		if _, err := farm.CatchOf(b, f.Drill).Rate(); err != nil {
			q.refuseErr("", err)
		}
	}
	return []entry.Body{b}
}

func (f *catchForm) read(q *request) *entry.Caught {
	b := &entry.Caught{
		Box: f.Box.ID, Side: q.side("side"), Lot: q.lotField(f.Preset), Dial: q.dial("dial", f.Box, q.side("side")),
		Turns: read(q.form, "turns", units.ParseTurns), Rows: q.whole("rows"),
		Resolution: q.grams("resolution"), Note: q.Val("note"),
	}
	if q.Has("caught") {
		b.Masses = []units.Mass{q.grams("caught")}
	}
	for _, s := range q.numbers("masses") {
		b.RowMasses = append(b.RowMasses, readText(q.form, "masses", s, units.ParseMass, units.Bare("g")))
		b.Masses = nil
	}
	if n := len(b.RowMasses); n > 0 && !q.Has("rows") {
		b.Rows = int64(n)
	}
	return b
}

func (f *catchForm) done() string { return "/box/" + f.Box.ID.String() }

// preview says what the catch shows so far, and what to catch for the aim.
func (f *catchForm) preview(q *request) {
	look := &form{vals: cloned(q.vals), system: q.System, Wrong: map[string]string{}}
	for _, name := range []string{"dial", "turns", "rows", "resolution"} {
		if !look.vals.Has(name) {
			look.vals.Set(name, f.Begin(name))
		}
	}
	quiet := *q
	quiet.form = look
	c := farm.CatchOf(f.read(&quiet), f.Drill)
	if f.Box.Aim > 0 {
		f.Wants, _ = c.Run.Aim(f.Box.Aim)
	}
	cr, err := c.Rate()
	if err != nil || len(look.Wrong) > 0 {
		return
	}
	f.Shown = &cr
	f.Advice, _ = c.Advice(q.System)
	if f.Box.Aim > 0 {
		f.Next, _ = cr.Decide(f.Box.Aim)
	}
}
