package page

import (
	"cmp"
	"slices"

	"turnrow/client"
	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// lotChoice is a lot that may go into a box.
type lotChoice struct {
	farm.Lot
	Planned bool // for this box, on the ground that is worked
	Inside  bool // is in the box now
}

// fillForm writes that seed was poured into a box.
type fillForm struct {
	Box      farm.Box
	Lots     []lotChoice
	Preset   string // the lot that is taken where nothing was chosen
	Poured   units.Mass
	Then     units.Mass
	Cautions []rate.Caution // about the lots that are planned for the box, or in it
}

func (f *fillForm) load(q *request) (err error) {
	if f.Box, err = q.pathBox(); err != nil {
		return err
	}
	f.Lots = q.lotsFor(f.Box)
	f.Preset = preset(f.Lots)
	for i := range f.Lots {
		if l := &f.Lots[i]; l.Planned || l.Inside {
			f.Cautions = append(f.Cautions, sheet.LotCautions(&l.Lot, sheet.DayOf(q.now()))...)
		}
	}
	return nil
}

// preset is the lot to begin with: the first that is planned, or is in the
// box; none where the farm has several and nothing speaks for one.
func preset(lots []lotChoice) string {
	if len(lots) == 1 || len(lots) > 0 && (lots[0].Planned || lots[0].Inside) {
		return lots[0].ID.String()
	}
	return ""
}

// lotsFor lists the lots: those planned for the box first, then those in it.
func (q *request) lotsFor(b farm.Box) []lotChoice {
	planned := q.plannedLots(b)
	var out []lotChoice
	for _, l := range q.View.Lots {
		c := lotChoice{Lot: l, Planned: slices.Contains(planned, l.ID)}
		c.Inside = slices.ContainsFunc(b.Seed, func(s farm.Seed) bool { return s.Lot == l.ID })
		out = append(out, c)
	}
	rank := func(c lotChoice) int {
		switch {
		case c.Planned:
			return 0
		case c.Inside:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(out, func(a, b lotChoice) int { return cmp.Compare(rank(a), rank(b)) })
	return out
}

// plannedLots is what the plan puts into a box: on the ground that is worked,
// or on any where that one is not known or plans nothing for it.
func (q *request) plannedLots(b farm.Box) (lots []entry.ID) {
	d, _ := q.View.DrillOf(b.Drill)
	if d.Reading != nil {
		if g, ok := q.View.GroundOf(d.Reading.Ground); ok {
			lots = plannedOn(g, b.ID)
		}
	}
	for _, g := range q.View.Grounds {
		if len(lots) == 0 {
			lots = plannedOn(g, b.ID)
		}
	}
	return lots
}

func plannedOn(g farm.Ground, box entry.ID) (lots []entry.ID) {
	for _, p := range g.Plan {
		if p.Box == box {
			lots = append(lots, p.Lot)
		}
	}
	return lots
}

func (f *fillForm) bodies(q *request) []entry.Body {
	return q.intend(say{client.NoAmount: "fill.nothing", client.Missing: "form.lot", client.TwoAmounts: "fill.twice"}, f.read(q))
}

func (f *fillForm) read(q *request) client.Fill {
	w := q.Fill()
	w.Box, w.Side, w.Lot = f.Box.ID, q.side("side", f.Box), q.lotField(f.Preset)
	return w
}

// lotField is the lot that was chosen, or that stood there to begin with.
func (q *request) lotField(preset string) entry.ID {
	l, err := q.find().Lot(q.Or("lot", preset))
	if err != nil {
		return entry.ID{} // which the intent refuses
	}
	return l.ID
}

func (f *fillForm) done() string { return "/box/" + f.Box.ID.String() }

// preview says what goes in and what the box holds then.
func (f *fillForm) preview(q *request) {
	look := newForm(cloned(q.vals), q.System)
	if !look.vals.Has("bags") {
		look.vals.Set("bags", "1")
	}
	quiet := *q
	quiet.form = look
	b := f.read(&quiet)
	if len(look.Wrong) > 0 || look.Has("volume") {
		return
	}
	f.Poured = b.Mass
	if l, ok := q.View.LotOf(b.Lot); ok && b.Bags > 0 {
		f.Poured, _ = l.Bag.Times(b.Bags)
	}
	f.Then = f.Box.Left + f.Poured
}
