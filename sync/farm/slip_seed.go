package farm

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
)

// seedName is a species as a lot, a label, a chart or a plan names it.
type seedName struct {
	text string
	by   []*rec // that name it so, in total order
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
func (s *slipSt) seedNames() []seedName {
	var out []seedName
	for _, k := range []thingKind{ground, box, lot} {
		for _, t := range s.sorted(k) {
			for i := range t.fields {
				f := &t.fields[i]
				by, v, ok := f.shown()
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
		slices.SortFunc(out[i].by, (*rec).compare)
	}
	slices.SortFunc(out, func(a, b seedName) int { return a.by[0].compare(b.by[0]) })
	return out
}

// seedIn is the species that a field of a thing names, if any.
func seedIn(k thingKind, f *fieldReg, v value) string {
	switch {
	case k == ground && f.num == planNurse, k == lot && f.num == lotSpecies:
		return v.s
	case k == box && f.num == fieldChart && v.n > 0:
		return f.s
	case k == lot && f.num == labelLine && v.n > 0:
		species, _, _ := strings.Cut(f.s, "\x00")
		return species
	}
	return ""
}

// seedNameSlips finds species that nobody knows by the name that they are
// written by, and that are so like another that they may be misspelt.
func (s *slipSt) seedNameSlips() []slip {
	var out []slip
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

func (s *slipSt) seedNameSlip(n seedName, near string) slip {
	return slip{
		finding: finding{NearSpecies, "species " + n.text, n.by[:1]}, field: "species",
		says: func() slipWords {
			m := meant{text: near, how: "not " + n.text, body: respelt(n.by[0].eff, n.text, near)}
			for _, r := range n.by[1:] {
				if b := respelt(r.eff, n.text, near); b != nil {
					m.with = append(m.with, &entry.Amended{Entry: r.id(), Body: b})
				}
			}
			w := slipWords{why: "no species " + n.text + " is known, and " + near + " is", written: n.text}
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
func (s *slipSt) changedSeedSlips(boxes []*thing, species speciesNames) []slip {
	var out []slip
	for _, t := range s.sorted(lot) {
		g := t.reg(field{num: lotSpecies}, false)
		if g == nil || len(g.writes) < 2 {
			continue
		}
		by, now, ok := g.shown()
		was := g.before(by)
		if b, set := by.eff.(*entry.LotSet); !ok || !set || !b.Species.Set || was == "" || now.s == "" ||
			species.of(was) == species.of(now.s) || partsOf(was).like(partsOf(now.s)) {
			continue
		}
		if s.wasPoured(boxes, t.id, by) {
			out = append(out, s.changedSeedSlip(t, by, was, now.s))
		}
	}
	return out
}

// before is the text of the latest write, by total order, that an entry's writer
// had seen, of those that are not the entry's own.
func (g *register) before(r *rec) string {
	for i := len(g.writes) - 1; i >= 0; i-- {
		if w := g.writes[i].by; w == r || !r.knew(w) {
			continue
		}
		if v, ok := g.value(i); ok {
			return v.s
		}
	}
	return ""
}

// wasPoured says whether the writer of an entry knew of seed of a lot in a box.
func (s *slipSt) wasPoured(boxes []*thing, of entry.ID, r *rec) bool {
	for _, t := range boxes {
		for _, d := range t.deeds.all() {
			if d.lot > 0 && s.lotOf(d) == of && r.knew(d.rec) {
				return true
			}
		}
	}
	return false
}

func (s *slipSt) changedSeedSlip(t *thing, by *rec, was, now string) slip {
	return slip{
		finding: finding{ChangedSpecies, "lot " + s.name(t.id), []*rec{by}}, field: "species",
		says: func() slipWords {
			m := meant{text: was, how: "as it was", body: respelt(by.eff, now, was)}
			for i := range t.fields {
				f := &t.fields[i]
				if r, v, ok := f.shown(); ok && seedIn(lot, f, v) == now && r != by {
					if b := respelt(r.eff, now, was); b != nil {
						m.with = append(m.with, &entry.Amended{Entry: r.id(), Body: b})
					}
				}
			}
			return slipWords{why: "seed of lot " + s.name(t.id) + " was poured as " + was + ", and it would be " + now + " now",
				written: now, instead: []meant{m}}
		},
	}
}

// labelSlips finds lots whose label names none of the seed that the lot is said
// to be.
func (s *slipSt) labelSlips(species speciesNames) []slip {
	var out []slip
	for _, t := range s.sorted(lot) {
		g := t.reg(field{num: lotSpecies}, false)
		if g == nil {
			continue
		}
		by, says, ok := g.shown()
		line, names := s.linesOf(t)
		if !ok || says.s == "" || len(names) == 0 || len(names) > 1 && !isKnown(says.s) {
			continue // a mixture goes by a name of its own
		}
		if slices.ContainsFunc(names, func(n string) bool {
			return species.of(n) == species.of(says.s) || partsOf(n).like(partsOf(says.s))
		}) {
			continue
		}
		out = append(out, s.labelSlip(t, by, line, says.s, names))
	}
	return out
}

func isKnown(species string) bool {
	_, err := rate.FindSpecies(species)
	return err == nil
}

// linesOf is the species that the lines of a lot's label name, and the latest
// entry that names one.
func (s *slipSt) linesOf(t *thing) (by *rec, names []string) {
	for i := range t.fields {
		f := &t.fields[i]
		r, v, ok := f.shown()
		if f.num != labelLine || !ok || v.n == 0 {
			continue
		}
		names = append(names, seedIn(lot, f, v))
		if by == nil || r.compare(by) > 0 {
			by = r
		}
	}
	return by, names
}

func (s *slipSt) labelSlip(t *thing, set, line *rec, says string, names []string) slip {
	recs := []*rec{set, line}
	slices.SortFunc(recs, (*rec).compare)
	return slip{
		finding: finding{OtherLabel, "lot " + s.name(t.id), recs}, field: "species",
		says: func() slipWords {
			w := slipWords{why: "lot " + s.name(t.id) + " is " + says + ", and its label says " + strings.Join(names, ", "), written: "both"}
			if len(names) > 1 {
				return w
			}
			if b := respelt(set.eff, says, names[0]); b != nil {
				w.instead = append(w.instead, meant{text: names[0], how: "as its label says", body: b, of: set})
			}
			if b := respelt(line.eff, names[0], says); b != nil {
				w.instead = append(w.instead, meant{text: says, how: "and the label with it", body: b, of: line})
			}
			return w
		},
	}
}

// coatingSlips finds labels that do not tell whether their purity counts the
// coating.
func (s *slipSt) coatingSlips(v *View) []slip {
	var out []slip
	for i, t := range s.sorted(lot) {
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
func (s *slipSt) latestLabel(t *thing, by *rec) *rec {
	for i := range t.fields {
		f := &t.fields[i]
		if r, _, ok := f.shown(); ok && f.num >= labelLine && f.num <= labelCounted && r.compare(by) > 0 {
			by = r
		}
	}
	return by
}

func (s *slipSt) coatingSlip(t *thing, by *rec, tag rate.Tag) slip {
	return slip{
		finding: finding{UnclearCoating, "lot " + s.name(t.id), []*rec{by}}, field: "coating_counted",
		says: func() slipWords {
			_, err := tag.CountedCoating()
			w := slipWords{open: true, why: "lot " + s.name(t.id) + ": " + err.Error() + ", with coating_counted: in, or coating_counted: apart"}
			b, ok := by.eff.(*entry.LabelSet)
			for _, way := range []entry.CoatingCounted{entry.CoatingIn, entry.CoatingApart} {
				c := tag
				c.Counted = rate.CoatingCounted(way)
				live, err := c.Live()
				if !ok || err != nil {
					continue
				}
				with := *b
				with.CoatingCounted = way
				w.instead = append(w.instead, meant{text: c.Counted.String(), how: live.Share().String() + " of the bag is live seed", body: &with, word: c.Counted.String()})
			}
			return w
		},
	}
}
