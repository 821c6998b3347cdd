package work

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// mixes says whether a fill is mixed with what a side, or each, holds. A species
// that is not there yet, poured onto another, is so where people say it is, and
// lies on top until they do, unless a plan puts both into the box for one piece
// of ground: then they are meant to go out together. What is poured after it
// goes the same way, as long as there is more than one species.
func (f *Flow) mixes(d *thing.Deed, side int) (mixed bool) {
	lot := f.Work.LotOf(d)
	said, settled := f.Work.Blends[f.Work.IDOf(d)]
	onto := false
	for i := range f.Seed.Sides {
		if side != i && side != rate.AllSides {
			continue
		}
		there, other := f.holds(i, lot)
		switch {
		case !other:
			f.mixing[i] = false
		case !there && !settled && f.plannedMix(i, lot):
			f.mixing[i] = true
		case !there:
			f.mixing[i], onto = said, true
		}
		mixed = mixed || f.mixing[i]
	}
	if onto {
		f.OntoOther = append(f.OntoOther, d.Rec)
	}
	return mixed
}

// holds says whether a side holds seed of a lot's species, and of another. Of a
// lot that says no species nothing is known.
func (f *Flow) holds(side int, lot entry.ID) (there, other bool) {
	b := f.Work.SpeciesOf(lot)
	if b == "" {
		return false, false
	}
	last := ""
	for _, l := range f.Seed.Sides[side].Layers {
		if there && other {
			return
		}
		if l.Lot == last { // a record has far more layers than lots
			continue
		}
		last = l.Lot
		of := f.Lots[l.Lot]
		if of == lot {
			there = true
			continue
		}
		a := f.Work.SpeciesOf(of)
		if a == "" {
			continue
		}
		same := f.Species.Of(a) == f.Species.Of(b)
		there, other = there || same, other || !same
	}
	return there, other
}

// plannedMix says whether one plan puts a lot's species into the box together
// with each that a side holds.
func (f *Flow) plannedMix(side int, lot entry.ID) bool {
	for _, planned := range f.Work.mixes[f.Box] {
		meant := func(l entry.ID) bool { return slices.Contains(planned, f.Species.Of(f.Work.SpeciesOf(l))) }
		other := slices.ContainsFunc(f.Seed.Sides[side].Layers, func(l rate.Layer) bool { return !meant(f.Lots[l.Lot]) })
		if !other && meant(lot) {
			return true
		}
	}
	return false
}

// plannedMixes is, of each box, the species of each plan that puts two or more
// into it for one piece of ground.
func (s *Work) plannedMixes() map[*thing.Thing][][]string {
	species := SpeciesNames{}
	out := map[*thing.Thing][][]string{}
	for _, g := range s.ByKind[thing.Ground] {
		for _, t := range s.ByKind[thing.Box] {
			if names := s.SpeciesPlanned(g, t, species); len(names) > 1 {
				out[t] = append(out[t], names)
			}
		}
	}
	return out
}

// SpeciesPlanned is the species that a piece's plan puts into a box, in order.
func (s *Work) SpeciesPlanned(g, t *thing.Thing, species SpeciesNames) (names []string) {
	for i := range g.Fields {
		f := &g.Fields[i]
		if f.Num != thing.PlanComponent || f.Y != t.ID {
			continue
		}
		if _, v, ok := f.Shown(); ok && v.S == "" && s.SpeciesOf(f.X) != "" {
			names = append(names, species.Of(s.SpeciesOf(f.X)))
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// BottomRate is the rate in force at a dial of what lies at the bottom of a
// side: of one lot, or of all that is mixed there. Where nothing is known of
// some of a blend, the rest stands for it, and no catch backs the whole.
func (f *Flow) BottomRate(side int, d DialAt) RateKnown {
	mix := f.Seed.Sides[side].Bottom()
	switch len(mix) {
	case 0:
		return RateKnown{}
	case 1:
		return f.Rate(f.Lots[mix[0].Lot], d)
	}
	var masses []units.Mass
	var parts []RateKnown
	for _, l := range mix {
		if known := f.Rate(f.Lots[l.Lot], d); known.Ok {
			masses, parts = append(masses, l.Mass), append(parts, known)
		}
	}
	if len(parts) == 0 {
		return RateKnown{}
	}
	known := blend(masses, parts)
	known.Caught = known.Caught && len(parts) == len(mix)
	return known
}

// blend is the rate of seeds that lie mixed, from what is known of each.
func blend(masses []units.Mass, parts []RateKnown) RateKnown {
	fields, ests := make([]rate.Field, len(parts)), make([]rate.RateEstimate, len(parts))
	for i, p := range parts {
		fields[i], ests[i] = p.Field, p.Est
	}
	known := parts[0]
	var err error
	if known.Field, err = rate.BlendOf(masses, fields); err != nil {
		return RateKnown{}
	}
	if known.Est, err = rate.BlendEstimates(masses, ests); err != nil {
		return RateKnown{}
	}
	known.Caught = !slices.ContainsFunc(parts, func(p RateKnown) bool { return !p.Caught })
	if slices.ContainsFunc(parts, func(p RateKnown) bool { return p.Basis != known.Basis }) {
		known.Basis = rate.FromEachSeed
	}
	return known
}

// SpeciesNames is one name for all that each species goes by.
type SpeciesNames map[string]string

// Of is the name under which a species is known.
func (m SpeciesNames) Of(text string) string {
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
