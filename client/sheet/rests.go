package sheet

import (
	"slices"
	"strings"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// noFigure are the kinds of doubt that no figure rests on: they are about who
// wrote, on what and under which name.
var noFigure = []farm.DoubtKind{farm.MixedLots, farm.WorkedUnready, farm.NoRight, farm.AfterStop, farm.SameName, farm.WrongClock, farm.Forked, farm.OneInvite}

// Rests tells which open doubts the figures of boxes, ground and lots rest on.
// Page, sheets and commands mark figures by it, so that all mark the same.
type Rests struct {
	view *farm.View
	by   map[entry.ID][]*words.Doubt // by the entries in doubt, the things that these set, and what they amend
}

// RestsOf finds the open doubts of a view that figures rest on.
func RestsOf(v *farm.View) Rests {
	r := Rests{v, map[entry.ID][]*words.Doubt{}}
	for d := range words.Doubts(v) {
		if d.Settled || slices.Contains(noFigure, d.Kind) {
			continue
		}
		for _, ids := range [][]entry.ID{d.Entries, d.Of} {
			for _, id := range ids {
				r.by[id] = append(r.by[id], &d)
			}
		}
	}
	return r
}

// Box is the open doubts behind what is shown of a box: what went in and out of
// it, its drill's counter, and the plans that aim it.
func (r Rests) Box(b *farm.Box) []words.Doubt {
	var on found
	on.box(r, b)
	return on.doubts
}

// sown is the open doubts behind what went from a box onto a piece of ground.
func (r Rests) sown(box, ground entry.ID) []words.Doubt {
	var on found
	if b, ok := r.view.BoxOf(box); ok {
		on.box(r, &b)
	}
	if g, ok := r.view.GroundOf(ground); ok {
		on.ground(r, &g)
	}
	return on.doubts
}

// work is the open doubts behind what a drill did on a piece of ground, and what
// went there from its boxes.
func (r Rests) work(drill, ground entry.ID) []words.Doubt {
	var on found
	for i := range r.view.Boxes {
		b := &r.view.Boxes[i]
		if b.Drill == drill && slices.ContainsFunc(b.Out, func(o farm.Out) bool { return o.Ground == ground }) {
			on.box(r, b)
		}
	}
	if g, ok := r.view.GroundOf(ground); ok {
		on.ground(r, &g)
	}
	return on.doubts
}

// Drill is the open doubts behind what is shown of a drill: its counter, and
// how it is made.
func (r Rests) Drill(d *farm.Drill) []words.Doubt {
	var on found
	on.drill(r, d)
	return on.doubts
}

// Plan is the open doubts behind the plan of a piece of ground: what was
// planned, and what is said of the lots.
func (r Rests) Plan(g *farm.Ground) []words.Doubt {
	var on found
	on.plan(r, g)
	return on.doubts
}

func (on *found) box(r Rests, b *farm.Box) {
	on.add(r, b.Events)
	on.add(r, []entry.ID{b.ID})
	if d, ok := r.view.DrillOf(b.Drill); ok {
		on.drill(r, &d)
	}
	for i := range b.Seed {
		on.add(r, []entry.ID{b.Seed[i].Lot})
	}
	for i := range r.view.Grounds {
		g := &r.view.Grounds[i]
		if slices.ContainsFunc(g.Plan, func(p farm.Planned) bool { return p.Box == b.ID }) {
			on.plan(r, g)
		}
	}
}

func (on *found) drill(r Rests, d *farm.Drill) {
	for i := range d.Readings {
		on.add(r, []entry.ID{d.Readings[i].Entry})
	}
	on.add(r, d.Back)
	on.add(r, d.Marks)
	on.add(r, []entry.ID{d.ID})
	on.beside(r, d.ID)
}

func (on *found) plan(r Rests, g *farm.Ground) {
	on.add(r, []entry.ID{g.ID}, farm.TwoPlans, farm.UnlikelyRate, farm.AmendedApart)
	for _, p := range g.Plan {
		on.add(r, []entry.ID{p.Lot}, farm.TwoPlans, farm.AmendedApart, farm.NearName, farm.NearSpecies, farm.ChangedSpecies, farm.OtherLabel, farm.UnclearCoating)
	}
}

// beside adds the doubts about readings beside what was done to a drill's boxes:
// one that is too high moves all that was done after it.
func (on *found) beside(r Rests, drill entry.ID) {
	for i := range r.view.Boxes {
		if b := &r.view.Boxes[i]; b.Drill == drill {
			on.add(r, b.Events, farm.TooManyAcres, farm.TooFast, farm.TooFarBack)
		}
	}
}

// ground adds the doubts about how much of a piece is done, about its plan, and
// about whether it is finished.
func (on *found) ground(r Rests, g *farm.Ground) {
	on.add(r, g.Events)
	on.add(r, []entry.ID{g.ID})
	on.add(r, g.Back)
	if !g.FinishedBy.IsZero() {
		on.add(r, []entry.ID{g.FinishedBy})
	}
}

// Ground is the open doubts behind what is shown of a piece of ground: the
// counter's readings there, its plan, and the boxes that were sown there from.
func (r Rests) Ground(g *farm.Ground) []words.Doubt {
	var on found
	on.ground(r, g)
	on.plan(r, g)
	for i := range r.view.Boxes {
		b := &r.view.Boxes[i]
		if slices.ContainsFunc(b.Out, func(o farm.Out) bool { return o.Ground == g.ID }) {
			on.add(r, b.Events)
			on.add(r, []entry.ID{b.ID})
		}
	}
	for i := range r.view.Drills {
		d := &r.view.Drills[i]
		if slices.ContainsFunc(d.Readings, func(at farm.Reading) bool { return at.Ground == g.ID }) {
			on.beside(r, d.ID)
			on.add(r, []entry.ID{d.ID})
		}
	}
	return on.doubts
}

// Acres is the open doubts behind how much of a piece of ground is done: those
// about readings of the counter, not about what was planned or poured.
func (r Rests) Acres(g *farm.Ground) []words.Doubt {
	var on found
	on.ground(r, g)
	return slices.DeleteFunc(on.doubts, func(d words.Doubt) bool { return d.Kind == farm.TwoPlans || d.Kind == farm.UnlikelyRate })
}

// Lot is the open doubts behind what is shown of a lot: its bags and fills, and
// the boxes that hold it or that it went through.
func (r Rests) Lot(l *farm.Lot) []words.Doubt {
	var on found
	on.add(r, l.Events)
	on.add(r, []entry.ID{l.ID})
	for i := range r.view.Boxes {
		b := &r.view.Boxes[i]
		through := slices.ContainsFunc(b.Out, func(o farm.Out) bool { return o.Lot == l.ID })
		through = through || slices.ContainsFunc(b.Drained, func(x farm.Drained) bool { return x.Lot == l.ID })
		if through || slices.ContainsFunc(b.Seed, func(x farm.Seed) bool { return x.Lot == l.ID }) {
			on.box(r, b)
		}
	}
	return on.doubts
}

// found is doubts, each once.
type found struct {
	doubts []words.Doubt
	seen   map[*words.Doubt]bool // which Rests has one of each
}

// add adds the doubts about some entries, of some kinds where those are given.
func (f *found) add(r Rests, entries []entry.ID, kinds ...farm.DoubtKind) {
	for _, id := range entries {
		for _, d := range r.by[id] {
			if len(kinds) > 0 && !slices.Contains(kinds, d.Kind) || f.seen[d] {
				continue
			}
			if f.seen == nil {
				f.seen = map[*words.Doubt]bool{}
			}
			f.seen[d] = true
			f.doubts = append(f.doubts, *d)
		}
	}
}

// inDoubt tells the kinds of the doubts that a row's figures rest on, with the
// mark that people know them by; nil where there are none.
func inDoubt(doubts []words.Doubt) value {
	var kinds []string
	for i := range doubts {
		if k := words.Kind(doubts[i].Kind); !slices.Contains(kinds, k) {
			kinds = append(kinds, k)
		}
	}
	if len(kinds) == 0 {
		return nil
	}
	return "? " + strings.Join(kinds, "; ")
}

// marked adds to a table what each of its rows rests on, and says where to look.
func (t *Table) marked(doubts []value) {
	t.columns = append(slices.Clone(t.columns), wide("in_doubt", "In doubt", 1.2))
	for i := range t.rows {
		t.rows[i] = append(t.rows[i], doubts[i])
	}
	if t.total != nil {
		t.total = append(t.total, nil)
	}
	if slices.ContainsFunc(doubts, func(v value) bool { return v != nil }) {
		t.Note = strings.TrimSpace(t.Note + " Figures marked ? rest on a doubt of that kind, listed under doubts, that nobody has settled.")
	}
}
