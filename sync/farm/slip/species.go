package slip

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/tell"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
)

// speciesSlips finds the first fill, and the first catch, of a lot whose species
// neither the chart of the box names nor any plan puts into it.
func (s *Slips) speciesSlips(t *thing.Thing, grounds []*thing.Thing, species work.SpeciesNames) []Slip {
	var named []string
	for _, g := range grounds {
		named = append(named, s.SpeciesPlanned(g, t, species)...)
	}
	planned := len(named) > 0
	for i := range t.Fields {
		if f := &t.Fields[i]; f.Num == thing.FieldChart {
			if _, v, ok := f.Shown(); ok && v.N > 0 {
				named = append(named, species.Of(f.S))
			}
		}
	}
	if len(named) == 0 {
		return nil
	}
	var out []Slip
	var seen []entry.ID
	for _, d := range t.Deeds.All() {
		of := s.lotIn(d.Rec.Eff, d)
		if of.IsZero() || slices.Contains(seen, of) {
			continue
		}
		seen = append(seen, of)
		if sp := s.SpeciesOf(of); sp != "" && !slices.Contains(named, species.Of(sp)) {
			sl := s.speciesSlip(t, d.Rec, of, named)
			if planned && d.Lot > 0 { // which is in doubt as a mixed lot, once it is written
				sl.Kind, sl.AskOnly = conflict.MixedLots, true
			}
			out = append(out, sl)
		}
	}
	return out
}

// lotIn is the lot of a fill or a catch.
func (s *Slips) lotIn(b entry.Body, d *thing.Deed) entry.ID {
	if d.Lot > 0 {
		return s.LotOf(d)
	}
	if c, ok := b.(*entry.Caught); ok {
		return s.Canon(c.Lot)
	}
	return entry.ID{}
}

func (s *Slips) speciesSlip(t *thing.Thing, r *order.Rec, of entry.ID, named []string) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.OtherSpecies, About: message.Of("box.lot", s.Called(t.ID), s.Called(of)), Recs: []*order.Rec{r}}, field: "lot",
		says: func() reason {
			names := slices.Sorted(slices.Values(named))
			for i := range names {
				names[i] = strings.ToLower(names[i])
			}
			return reason{why: message.Of("slip.other-species", s.Called(of), message.Text(s.SpeciesOf(of)), s.Called(t.ID), tell.Texts(slices.Compact(names))),
				written: written(s.SpeciesOf(of))}
		},
	}
}
