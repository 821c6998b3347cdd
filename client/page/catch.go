package page

import (
	"strings"

	"turnrow/client"
	"turnrow/client/fields"
	"turnrow/client/words"
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

	Shown   *rate.CatchRate // with those before at the same setting
	Earlier int             // how many those are
	Aside   []string        // what does not count in it, and why
	Next    rate.Decision   // against the aim
	Advice  string
	Wants   units.Mass // to catch, for the aim
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
		if l, ok := q.page.farm.Line(f.Box.Events[i]); ok {
			f.Last, _ = l.Now.(*entry.Caught)
		}
	}
	return nil
}

// Begin is what stands in a field to begin with: the run of the last catch.
func (f *catchForm) Begin(field string) string {
	switch {
	case field == "dial" && f.Box.DialSet:
		return words.Mark(f.Box, 0, f.Box.Dial)
	case field == "way":
		return f.lastWay()
	case f.Last == nil:
		return ""
	case field == "turns" && f.Last.Turns > 0:
		return f.Last.Turns.String()
	case field == "rows" && f.Last.Rows > 0:
		return units.Count(f.Last.Rows * 1000).String()
	case field == "resolution" && f.Last.Resolution > 0:
		return f.Last.Resolution.String()
	}
	return ""
}

// The ways of a catch, as the form posts them.
const (
	standing = "standing"
	driven   = "driven"
)

func (f *catchForm) lastWay() string {
	if f.Last != nil && f.Last.Distance > 0 {
		return driven
	}
	return standing
}

// Masses are the catches typed so far, each its own field, and one open field
// more.
func (f *catchForm) Masses(q *request) (typed []string) {
	for _, m := range q.vals["caught"] {
		if strings.TrimSpace(m) != "" {
			typed = append(typed, m)
		}
	}
	if len(typed) == 0 {
		typed = []string{""}
	}
	return append(typed, "")
}

func (f *catchForm) bodies(q *request) []entry.Body {
	b := f.read(q)
	q.need("dial")
	if len(q.Wrong) > 0 {
		return nil
	}
	return q.intend(say{client.Missing: "form.lot"}, b)
}

func (f *catchForm) read(q *request) client.Catch {
	c := q.Catch("masses")
	c.Box, c.Side, c.Lot = f.Box.ID, q.side("side", f.Box), q.lotField(f.Preset)
	c.Dial = q.Dial("dial", f.Box, c.Side)
	f.readRun(q, &c)
	if len(c.RowNumbers) > 0 {
		c.Rows = int64(len(c.RowNumbers)) // they stand in place of how many
	}
	if c.Width > 0 {
		c.Rows = 0
		if len(c.RowNumbers) > 0 {
			q.refuse("width", texts.Text("catch.width.rows"))
		}
	}
	if c.Rows == 0 && c.Width == 0 {
		c.Rows = int64(len(c.RowMasses))
	}
	return c
}

// readRun reads how the drill was turned: with the drill standing by turns of
// the wheel, driven by a distance.
func (f *catchForm) readRun(q *request, c *client.Catch) {
	if q.Or("way", f.lastWay()) == driven {
		c.Way = entry.Moving
		c.Distance, c.DistanceIn = q.LengthIn("distance")
		return
	}
	c.Way, c.Turns = entry.Standing, fields.Read(q.Reader, "turns", units.ParseTurns)
	if q.Has("distance") {
		q.refuse("distance", texts.Text("catch.standing.distance"))
	}
}

func (f *catchForm) done() string { return "/box/" + f.Box.ID.String() }

// preview says what the catch shows so far, together with those made before at
// the same setting, and what to catch for the aim.
func (f *catchForm) preview(q *request) {
	look := newForm(cloned(q.vals), q.System)
	for _, name := range []string{"dial", "turns", "rows", "resolution"} {
		if !look.vals.Has(name) {
			look.vals.Set(name, f.Begin(name))
		}
	}
	quiet := *q
	quiet.form = look
	b := f.read(&quiet)
	c := farm.CatchOf(&b.Caught, f.Drill)
	if f.Box.Aim > 0 {
		f.Wants, _ = c.Run.Aim(f.Box.Aim)
	}
	if len(look.Wrong) > 0 {
		return
	}
	earlier := f.earlier(q, &b.Caught)
	cr, err := rate.PoolCatches(append(earlier, c))
	if err != nil {
		return
	}
	f.Shown, f.Earlier, f.Advice = &cr, len(earlier), cr.Advice(q.System)
	for _, a := range cr.Aside {
		f.Aside = append(f.Aside, a.Words(q.System))
	}
	if f.Box.Aim > 0 && !cr.Plugged {
		f.Next, _ = cr.Decide(f.Box.Aim)
	}
}

// earlier are the catches before this one at the same setting and made the same
// way: they share its mean.
func (f *catchForm) earlier(q *request, b *entry.Caught) (list []rate.Catch) {
	way := farm.CatchOf(b, f.Drill).Way
	for _, id := range f.Box.Events {
		l, ok := q.page.farm.Line(id)
		if !ok {
			continue
		}
		old, ok := l.Now.(*entry.Caught)
		if !ok || old.Lot != b.Lot || old.Dial != b.Dial || old.Side != b.Side {
			continue
		}
		if c := farm.CatchOf(old, f.Drill); c.Way == way {
			list = append(list, c)
		}
	}
	return list
}
