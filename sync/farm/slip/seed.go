package slip

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/tell"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
)

// seedName is a species as a lot, a label, a chart or a plan names it.
type seedName struct {
	text string
	by   []*order.Rec // that name it so, in total order
}

// nearSpecies is another species that is known, and that may have been meant.
type nearSpecies struct {
	parts nameParts
	name  string
}

// tableSpecies are the names of the built-in table.
var tableSpecies = readTable()

func readTable() []nearSpecies {
	names := rate.SpeciesNames()
	out := make([]nearSpecies, len(names))
	for i, n := range names {
		out[i] = nearSpecies{partsOf(n), n}
	}
	return out
}

// seedNames are the species that stand somewhere in the record, each as it is
// written, in the order in which they came to be named.
func (s *Slips) seedNames() []seedName {
	var out []seedName
	for _, k := range []thing.ThingKind{thing.Ground, thing.Box, thing.Lot} {
		for _, t := range s.Sorted(k) {
			for i := range t.Fields {
				f := &t.Fields[i]
				by, v, ok := f.Shown()
				text := seedIn(k, f, v)
				if !ok || text == "" {
					continue
				}
				at := slices.IndexFunc(out, func(n seedName) bool { return n.text == text })
				if at < 0 {
					at = len(out)
					out = append(out, seedName{text: text})
				}
				if !slices.Contains(out[at].by, by) {
					out[at].by = append(out[at].by, by)
				}
			}
		}
	}
	for i := range out {
		slices.SortFunc(out[i].by, (*order.Rec).Compare)
	}
	slices.SortFunc(out, func(a, b seedName) int { return a.by[0].Compare(b.by[0]) })
	return out
}

// seedIn is the species that a field of a thing names, if any.
func seedIn(k thing.ThingKind, f *thing.FieldReg, v thing.Value) string {
	switch {
	case k == thing.Ground && f.Num == thing.PlanNurse, k == thing.Lot && f.Num == thing.LotSpecies:
		return v.S
	case k == thing.Box && f.Num == thing.FieldChart && v.N > 0:
		return f.S
	case k == thing.Lot && f.Num == thing.LabelLine && v.N > 0:
		species, _, _ := strings.Cut(f.S, "\x00")
		return species
	}
	return ""
}

// seedNameSlips finds species that nobody knows by the name that they are
// written by, and that are so like another that they may be misspelt.
func (s *Slips) seedNameSlips() []Slip {
	var out []Slip
	known := slices.Clone(tableSpecies)
	for _, n := range s.seedNames() {
		parts, name := partsOf(n.text), strings.Join(strings.Fields(n.text), " ")
		if slices.ContainsFunc(known, func(k nearSpecies) bool { return strings.EqualFold(k.name, name) }) {
			continue
		}
		if i := slices.IndexFunc(known, func(k nearSpecies) bool { return k.parts.like(parts) }); i >= 0 {
			out = append(out, s.seedNameSlip(n, known[i].name))
		}
		known = append(known, nearSpecies{parts, n.text})
	}
	return out
}

func (s *Slips) seedNameSlip(n seedName, near string) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.NearSpecies, About: message.Of("species", message.Text(n.text)), Recs: n.by[:1]}, field: "species",
		says: func() reason {
			m := meant{text: written(near), how: message.Of("how.not", message.Text(n.text)), body: respelt(n.by[0].Eff, n.text, near)}
			for _, r := range n.by[1:] {
				if b := respelt(r.Eff, n.text, near); b != nil {
					m.with = append(m.with, &entry.Amended{Entry: r.ID(), Body: b})
				}
			}
			w := reason{why: message.Of("slip.near-species", message.Text(n.text), message.Text(near)), written: written(n.text)}
			if m.body != nil {
				w.instead = []meant{m}
			}
			return w
		},
	}
}

// respelt is a body that names another species in the place of one; nil for
// bodies that name none.
func respelt(b entry.Body, from, to string) entry.Body {
	switch b := b.(type) {
	case *entry.LotSet:
		c := *b
		c.Species = entry.Some(to)
		return &c
	case *entry.ChartPointSet:
		c := *b
		c.Species = to
		return &c
	case *entry.PlanSet:
		c := *b
		c.Nurse = entry.Some(to)
		return &c
	case *entry.LabelSet:
		return respeltLabel(b, from, to)
	}
	return nil
}

func respeltLabel(b *entry.LabelSet, from, to string) entry.Body {
	c := *b
	c.Lines = nil
	for _, l := range b.Lines {
		if l.Species == to { // what it took off, or has already, under that name
			continue
		}
		if l.Species == from && !l.Removed {
			l.Species = to
		}
		c.Lines = append(c.Lines, l)
	}
	return &c
}

// changedSeedSlips finds lots that somebody gave another species after seed of
// them was poured.
func (s *Slips) changedSeedSlips(boxes []*thing.Thing, species work.SpeciesNames) []Slip {
	var out []Slip
	for _, t := range s.Sorted(thing.Lot) {
		g := t.Reg(thing.Field{Num: thing.LotSpecies}, false)
		if g == nil || len(g.Writes) < 2 {
			continue
		}
		by, now, ok := g.Shown()
		was := g.Before(by)
		if b, set := by.Eff.(*entry.LotSet); !ok || !set || !b.Species.Set || was == "" || now.S == "" ||
			species.Of(was) == species.Of(now.S) || partsOf(was).like(partsOf(now.S)) {
			continue
		}
		if s.wasPoured(boxes, t.ID, by) {
			out = append(out, s.changedSeedSlip(t, by, was, now.S))
		}
	}
	return out
}

// wasPoured says whether the writer of an entry knew of seed of a lot in a box.
func (s *Slips) wasPoured(boxes []*thing.Thing, of entry.ID, r *order.Rec) bool {
	for _, t := range boxes {
		for _, d := range t.Deeds.All() {
			if d.Lot > 0 && s.LotOf(d) == of && r.Knew(d.Rec) {
				return true
			}
		}
	}
	return false
}

func (s *Slips) changedSeedSlip(t *thing.Thing, by *order.Rec, was, now string) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.ChangedSpecies, About: s.ThingText(t), Recs: []*order.Rec{by}}, field: "species",
		says: func() reason {
			m := meant{text: written(was), how: message.Of("how.as-it-was"), body: respelt(by.Eff, now, was)}
			for i := range t.Fields {
				f := &t.Fields[i]
				if r, v, ok := f.Shown(); ok && seedIn(thing.Lot, f, v) == now && r != by {
					if b := respelt(r.Eff, now, was); b != nil {
						m.with = append(m.with, &entry.Amended{Entry: r.ID(), Body: b})
					}
				}
			}
			return reason{why: message.Of("slip.changed-species", s.Called(t.ID), message.Text(was), message.Text(now)),
				written: written(now), instead: []meant{m}}
		},
	}
}

// labelSlips finds lots whose label names none of the seed that the lot is said
// to be.
func (s *Slips) labelSlips(species work.SpeciesNames) []Slip {
	var out []Slip
	for _, t := range s.Sorted(thing.Lot) {
		g := t.Reg(thing.Field{Num: thing.LotSpecies}, false)
		if g == nil {
			continue
		}
		by, says, ok := g.Shown()
		line, names := s.linesOf(t)
		if !ok || says.S == "" || len(names) == 0 || len(names) > 1 && !isKnown(says.S) {
			continue // a mixture goes by a name of its own
		}
		if slices.ContainsFunc(names, func(n string) bool {
			return species.Of(n) == species.Of(says.S) || partsOf(n).like(partsOf(says.S))
		}) {
			continue
		}
		out = append(out, s.labelSlip(t, by, line, says.S, names))
	}
	return out
}

func isKnown(species string) bool {
	_, err := rate.FindSpecies(species)
	return err == nil
}

// linesOf is the species that the lines of a lot's label name, and the latest
// entry that names one.
func (s *Slips) linesOf(t *thing.Thing) (by *order.Rec, names []string) {
	for i := range t.Fields {
		f := &t.Fields[i]
		r, v, ok := f.Shown()
		if f.Num != thing.LabelLine || !ok || v.N == 0 {
			continue
		}
		names = append(names, seedIn(thing.Lot, f, v))
		if by == nil || r.Compare(by) > 0 {
			by = r
		}
	}
	return by, names
}

func (s *Slips) labelSlip(t *thing.Thing, set, line *order.Rec, says string, names []string) Slip {
	recs := []*order.Rec{set, line}
	slices.SortFunc(recs, (*order.Rec).Compare)
	return Slip{
		Finding: order.Finding{Kind: conflict.OtherLabel, About: s.ThingText(t), Recs: recs}, field: "species",
		says: func() reason {
			w := reason{why: message.Of("slip.other-label", s.Called(t.ID), message.Text(says), tell.Texts(names)), written: message.Of("choice.both")}
			if len(names) > 1 {
				return w
			}
			if b := respelt(set.Eff, says, names[0]); b != nil {
				w.instead = append(w.instead, meant{text: written(names[0]), how: message.Of("how.as-label-says"), body: b, of: set})
			}
			if b := respelt(line.Eff, names[0], says); b != nil {
				w.instead = append(w.instead, meant{text: written(says), how: message.Of("how.label-with-it"), body: b, of: line})
			}
			return w
		},
	}
}

// coatingSlips finds labels that do not tell whether their purity counts the
// coating.
func (s *Slips) coatingSlips(v *view.View) []Slip {
	var out []Slip
	for i, t := range s.Sorted(thing.Lot) {
		l := &v.Lots[i]
		if _, err := l.Tag.CountedCoating(); err == nil || !l.Tagged {
			continue
		}
		if by, _ := s.linesOf(t); by != nil {
			out = append(out, s.coatingSlip(t, s.latestLabel(t, by), l.Tag))
		}
	}
	return out
}

// latestLabel is the latest entry that says something of a lot's label.
func (s *Slips) latestLabel(t *thing.Thing, by *order.Rec) *order.Rec {
	for i := range t.Fields {
		f := &t.Fields[i]
		if r, _, ok := f.Shown(); ok && f.Num >= thing.LabelLine && f.Num <= thing.LabelCounted && r.Compare(by) > 0 {
			by = r
		}
	}
	return by
}

func (s *Slips) coatingSlip(t *thing.Thing, by *order.Rec, tag rate.Tag) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.UnclearCoating, About: s.ThingText(t), Recs: []*order.Rec{by}}, field: "coating_counted",
		says: func() reason {
			_, err := tag.CountedCoating()
			w := reason{open: true, why: message.Of("slip.unclear-coating", s.Called(t.ID), message.Text(err.Error()))}
			b, ok := by.Eff.(*entry.LabelSet)
			for _, way := range []entry.CoatingCounted{entry.CoatingIn, entry.CoatingApart} {
				c := tag
				c.Counted = rate.CoatingCounted(way)
				live, err := c.Live()
				if !ok || err != nil {
					continue
				}
				with := *b
				with.CoatingCounted = way
				w.instead = append(w.instead, meant{text: message.Of("value", message.TermOf("coating", c.Counted.String())), how: message.Of("how.live", message.Share(live.Share())), body: &with, word: c.Counted.String()})
			}
			return w
		},
	}
}
