package farm

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// mixes says whether a fill is mixed with what a side, or each, holds. A species
// that is not there yet, poured onto another, is so where people say it is, and
// lies on top until they do; what is poured after it goes the same way, as long
// as there is more than one species.
func (f *flow) mixes(d *deed, side int) (mixed bool) {
	lot := f.s.lotOf(d)
	said, onto := f.s.blends[f.s.idOf(d)], false
	for i := range f.seed.Sides {
		if side != i && side != rate.AllSides {
			continue
		}
		there, other := f.holds(i, lot)
		switch {
		case !other:
			f.mixing[i] = false
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
		if f.species == nil {
			f.species = speciesNames{}
		}
		same := f.species.of(a) == f.species.of(b)
		there, other = there || same, other || !same
	}
	return there, other
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
