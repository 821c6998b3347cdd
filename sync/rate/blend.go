package rate

import (
	"math"
	"slices"

	"turnrow/sync/units"
)

// BlendOf is what a box gives in the field of seeds that lie mixed in it, by the
// mass of each and by what it gives of each alone at the dial. A meter turns out
// volume, and the volumes of the seeds add up, so that the blend's rate is 1 ÷
// Σ(share by mass ÷ rate alone): our own rule, no source. Its uncertainty is the
// greatest of theirs, since what is wrong with one is wrong with all at one
// dial. It fails with a *RangeError where masses and fields are not as many, and
// where a mass or a rate is not above zero.
func BlendOf(masses []units.Mass, fields []Field) (Field, error) {
	ground, counter := make([]RateEstimate, len(fields)), make([]RateEstimate, len(fields))
	for i, f := range fields {
		ground[i], counter[i] = f.Ground, f.Counter
	}
	onGround, err := BlendEstimates(masses, ground)
	if err != nil {
		return Field{}, err
	}
	byCounter, err := BlendEstimates(masses, counter)
	if err != nil {
		return Field{}, err
	}
	out := fields[0]
	for _, f := range fields {
		out.Gain = math.Min(out.Gain, f.Gain)
		if math.Abs(f.Level) > math.Abs(out.Level) {
			out.Level = f.Level
		}
		out.Rest.Var, out.Rest.DF = math.Max(out.Rest.Var, f.Rest.Var), math.Min(out.Rest.DF, f.Rest.DF)
	}
	out.Ground, out.Counter = onGround, byCounter
	return out, nil
}

// BlendEstimates is BlendOf for rates alone.
func BlendEstimates(masses []units.Mass, rates []RateEstimate) (RateEstimate, error) {
	if len(masses) == 0 || len(masses) != len(rates) {
		return RateEstimate{}, refuse("number of rates of a blend", len(rates), "%d, and 1 or more", len(masses))
	}
	out := rates[0]
	for i, r := range rates {
		if masses[i] <= 0 || r.Rate <= 0 {
			return RateEstimate{}, refuse("mass and rate of a seed of a blend", min(int64(masses[i]), int64(r.Rate)), "more than 0")
		}
		out.Relative, out.Freedom = math.Max(out.Relative, r.Relative), math.Min(out.Freedom, r.Freedom)
	}
	out.Rate = together(masses, rates, func(r RateEstimate) units.RatePerArea { return r.Rate })
	out.Low = together(masses, rates, func(r RateEstimate) units.RatePerArea { return r.Low })
	out.High = together(masses, rates, func(r RateEstimate) units.RatePerArea { return r.High })
	return out, nil
}

// together is the rate of a blend, by one figure of each seed's rate alone.
func together(masses []units.Mass, rates []RateEstimate, of func(RateEstimate) units.RatePerArea) units.RatePerArea {
	mass, area := 0.0, 0.0
	for i, r := range rates {
		mass += float64(masses[i])
		area += float64(masses[i]) / math.Max(1, float64(of(r)))
	}
	return units.RatePerArea(math.Round(mass / area))
}

// Bottom is the seed of a compartment that goes out next: its lowest layer, with
// all that lies mixed with it. It is not to be kept or changed.
func (s *Side) Bottom() []Layer {
	n := min(1, len(s.Layers))
	for n > 0 && n < len(s.Layers) && s.Layers[n].Mixed {
		n++
	}
	return s.Layers[:n]
}

// blend pours seed in and mixes all that is there: from then on each lot goes
// out in proportion to its mass.
func (s *Side) blend(lot string, mass units.Mass) {
	s.mass += mass
	var mix []Layer
	for _, l := range append(slices.Clone(s.Layers), Layer{Lot: lot, Mass: mass}) {
		if at := slices.IndexFunc(mix, func(m Layer) bool { return m.Lot == l.Lot }); at >= 0 {
			mix[at].Mass += l.Mass
		} else {
			mix = append(mix, l)
		}
	}
	s.Layers = mixed(mix)
}

// mixed are layers that lie mixed, without those that hold nothing.
func mixed(layers []Layer) (kept []Layer) {
	for _, l := range layers {
		if l.Mass > 0 {
			kept = append(kept, Layer{l.Lot, l.Mass, len(kept) > 0})
		}
	}
	return kept
}

// takeMixed takes no more than there is from seed that lies mixed at the bottom,
// of each lot in proportion to its mass.
func (s *Side) takeMixed(mix []Layer, mass units.Mass, gone func(Layer)) error {
	parts, err := inProportion(mix, mass)
	if err != nil {
		return err
	}
	left := slices.Clone(mix)
	for i, part := range parts {
		if gone != nil && part > 0 {
			gone(Layer{Lot: mix[i].Lot, Mass: part})
		}
		left[i].Mass -= part
	}
	s.last, s.lastMix = mix[len(mix)-1].Lot, slices.Clone(mix)
	s.Layers = append(mixed(left), s.Layers[len(mix):]...)
	s.mass -= mass
	return nil
}

// inProportion splits mass by the masses of layers.
func inProportion(mix []Layer, mass units.Mass) ([]units.Mass, error) {
	parts, weights := make([]units.Mass, len(mix)), make([]int64, len(mix))
	for i, l := range mix {
		weights[i] = int64(l.Mass)
	}
	return parts, split(parts, mass, weights)
}

// add adds seed that was found to what lies at the bottom, or was there last.
func (s *Side) add(mass units.Mass) error {
	mix := s.Bottom()
	if len(mix) == 0 {
		return s.addToEmpty(mass)
	}
	parts, err := inProportion(mix, mass)
	if err != nil {
		return err
	}
	for i := range parts {
		mix[i].Mass += parts[i]
	}
	s.mass += mass
	return nil
}

// addToEmpty adds seed that was found to a compartment that was thought empty:
// of the lots that went out last, in the proportion that they then had.
func (s *Side) addToEmpty(mass units.Mass) error {
	was := slices.Clone(s.lastMix)
	if len(was) == 0 {
		was = []Layer{{Lot: s.last, Mass: 1}}
	}
	parts, err := inProportion(was, mass)
	if err != nil {
		return err
	}
	for i := range parts {
		was[i].Mass = parts[i]
	}
	s.Layers, s.mass = mixed(was), mass
	return nil
}
