package farm

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// mixes says whether a fill is mixed with what a side, or each, holds. A species
// that is not there yet, poured onto another, is so where people say it is, and
// lies on top until they do, unless a plan puts both into the box for one piece
// of ground: then they are meant to go out together. What is poured after it
// goes the same way, as long as there is more than one species.
func (f *flow) mixes(d *deed, side int) (mixed bool) {
	lot := f.s.lotOf(d)
	said, settled := f.s.blends[f.s.idOf(d)]
	onto := false
	for i := range f.seed.Sides {
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
		f.ontoOther = append(f.ontoOther, d.rec)
	}
	return mixed
}

// holds says whether a side holds seed of a lot's species, and of another. Of a
// lot that says no species nothing is known.
func (f *flow) holds(side int, lot entry.ID) (there, other bool) {
	b := f.s.speciesOf(lot)
	if b == "" {
		return false, false
	}
	last := ""
	for _, l := range f.seed.Sides[side].Layers {
		if there && other {
			return
		}
		if l.Lot == last { // a record has far more layers than lots
			continue
		}
		last = l.Lot
		of := f.lots[l.Lot]
		if of == lot {
			there = true
			continue
		}
		a := f.s.speciesOf(of)
		if a == "" {
			continue
		}
		same := f.species.of(a) == f.species.of(b)
		there, other = there || same, other || !same
	}
	return there, other
}

// plannedMix says whether one plan puts a lot's species into the box together
// with each that a side holds.
func (f *flow) plannedMix(side int, lot entry.ID) bool {
	for _, planned := range f.s.mixes[f.box] {
		meant := func(l entry.ID) bool { return slices.Contains(planned, f.species.of(f.s.speciesOf(l))) }
		other := slices.ContainsFunc(f.seed.Sides[side].Layers, func(l rate.Layer) bool { return !meant(f.lots[l.Lot]) })
		if !other && meant(lot) {
			return true
		}
	}
	return false
}

// plannedMixes is, of each box, the species of each plan that puts two or more
// into it for one piece of ground.
func (s *workSt) plannedMixes() map[*thing][][]string {
	species := speciesNames{}
	out := map[*thing][][]string{}
	for _, g := range s.byKind[ground] {
		for _, t := range s.byKind[box] {
			if names := s.speciesPlanned(g, t, species); len(names) > 1 {
				out[t] = append(out[t], names)
			}
		}
	}
	return out
}

// speciesPlanned is the species that a piece's plan puts into a box, in order.
func (s *workSt) speciesPlanned(g, t *thing, species speciesNames) (names []string) {
	for i := range g.fields {
		f := &g.fields[i]
		if f.num != planComponent || f.y != t.id {
			continue
		}
		if _, v, ok := f.shown(); ok && v.s == "" && s.speciesOf(f.x) != "" {
			names = append(names, species.of(s.speciesOf(f.x)))
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// seedSlips asks, before a second species is poured onto the first, how the two
// will lie. Once it is written it is a doubt of its own.
func (s *slipSt) seedSlips(t *thing, f *flow) (out []slip) {
	for _, r := range f.ontoOther {
		if s.covered(TwoSeeds, r) {
			continue
		}
		out = append(out, slip{
			finding: finding{TwoSeeds, "box " + s.name(t.id), []*rec{r}}, field: "lot", askOnly: true,
			says: func() slipWords {
				return slipWords{plain: true, why: s.what(r.eff) + ", where seed of another species is in it: are the two mixed, or does one lie on the other"}
			},
		})
	}
	return out
}

// mixed is the species that a box is to give together: those that lie mixed at
// the bottom of a side or, where nothing else is in it, that the plan of the
// ground being worked puts into it; none where it gives one alone.
func (b *Box) mixed(f *flow, v *View) (names []string) {
	for i := range f.seed.Sides {
		for _, l := range f.seed.Sides[i].Bottom() {
			if sp := f.s.speciesOf(f.lots[l.Lot]); sp != "" {
				names = append(names, f.species.of(sp))
			}
		}
		slices.Sort(names)
		if names = slices.Compact(names); len(names) > 1 {
			return names
		}
	}
	var working entry.ID
	if d, ok := v.DrillOf(b.Drill); ok && d.Reading != nil {
		working = d.Reading.Ground
	}
	for _, g := range f.s.byKind[ground] {
		if planned := f.s.speciesPlanned(g, f.box, f.species); len(planned) > 1 && (working.IsZero() || g.id == working) &&
			!slices.ContainsFunc(names, func(sp string) bool { return !slices.Contains(planned, sp) }) {
			return planned
		}
	}
	return nil
}

// bottomRate is the rate in force at a dial of what lies at the bottom of a
// side: of one lot, or of all that is mixed there. Where nothing is known of
// some of a blend, the rest stands for it, and no catch backs the whole.
func (f *flow) bottomRate(side int, d dialAt) rateKnown {
	mix := f.seed.Sides[side].Bottom()
	switch len(mix) {
	case 0:
		return rateKnown{}
	case 1:
		return f.rate(f.lots[mix[0].Lot], d)
	}
	var masses []units.Mass
	var parts []rateKnown
	for _, l := range mix {
		if known := f.rate(f.lots[l.Lot], d); known.ok {
			masses, parts = append(masses, l.Mass), append(parts, known)
		}
	}
	if len(parts) == 0 {
		return rateKnown{}
	}
	known := blend(masses, parts)
	known.caught = known.caught && len(parts) == len(mix)
	return known
}

// blend is the rate of seeds that lie mixed, from what is known of each.
func blend(masses []units.Mass, parts []rateKnown) rateKnown {
	fields, ests := make([]rate.Field, len(parts)), make([]rate.RateEstimate, len(parts))
	for i, p := range parts {
		fields[i], ests[i] = p.field, p.est
	}
	known := parts[0]
	var err error
	if known.field, err = rate.BlendOf(masses, fields); err != nil {
		return rateKnown{}
	}
	if known.est, err = rate.BlendEstimates(masses, ests); err != nil {
		return rateKnown{}
	}
	known.caught = !slices.ContainsFunc(parts, func(p rateKnown) bool { return !p.caught })
	if slices.ContainsFunc(parts, func(p rateKnown) bool { return p.basis != known.basis }) {
		known.basis = "each seed by itself"
	}
	return known
}
