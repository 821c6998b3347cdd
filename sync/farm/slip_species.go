package farm

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
)

// speciesSlips finds the first fill, and the first catch, of a lot whose species
// neither the chart of the box names nor any plan puts into it.
func (s *slipSt) speciesSlips(t *thing, grounds []*thing, species speciesNames) []slip {
	var named []string
	for _, g := range grounds {
		named = append(named, s.speciesPlanned(g, t, species)...)
	}
	planned := len(named) > 0
	for i := range t.fields {
		if f := &t.fields[i]; f.num == fieldChart {
			if _, v, ok := f.shown(); ok && v.n > 0 {
				named = append(named, species.of(f.s))
			}
		}
	}
	if len(named) == 0 {
		return nil
	}
	var out []slip
	var seen []entry.ID
	for _, d := range t.deeds.all() {
		of := s.lotIn(d.rec.eff, d)
		if of.IsZero() || slices.Contains(seen, of) {
			continue
		}
		seen = append(seen, of)
		if sp := s.speciesOf(of); sp != "" && !slices.Contains(named, species.of(sp)) {
			sl := s.speciesSlip(t, d.rec, of, named)
			if planned && d.lot > 0 { // which is in doubt as a mixed lot, once it is written
				sl.kind, sl.askOnly = MixedLots, true
			}
			out = append(out, sl)
		}
	}
	return out
}

// lotIn is the lot of a fill or a catch.
func (s *slipSt) lotIn(b entry.Body, d *deed) entry.ID {
	if d.lot > 0 {
		return s.lotOf(d)
	}
	if c, ok := b.(*entry.Caught); ok {
		return s.canon(c.Lot)
	}
	return entry.ID{}
}

// speciesNames is one name for all that each species goes by.
type speciesNames map[string]string

func (m speciesNames) of(text string) string {
	name, ok := m[text]
	if !ok {
		name = strings.ToLower(text)
		if sp, err := rate.FindSpecies(text); err == nil {
			name = sp.Name
		}
		m[text] = name
	}
	return name
}

func (s *slipSt) speciesSlip(t *thing, r *rec, of entry.ID, named []string) slip {
	return slip{
		finding: finding{OtherSpecies, "box " + s.name(t.id) + ", " + s.name(of), []*rec{r}}, field: "lot",
		says: func() slipWords {
			names := slices.Clone(named)
			slices.Sort(names)
			return slipWords{why: s.name(of) + " is " + s.speciesOf(of) + ", and chart and plans of box " + s.name(t.id) + " name " +
				strings.ToLower(strings.Join(slices.Compact(names), ", ")), written: s.speciesOf(of)}
		},
	}
}
