package fields

import "turnrow/sync/units"

// Amounts are read with the unit that was typed; where none was, the comments
// below say which is meant, in US units and in metric.

// Mass is a mass of seed; a bare number is lb or kg, and bushels count where it
// is known what one weighs.
func (r *Reader) Mass(field string) units.Mass {
	return Read(r, field, units.ParseMass, r.Bare("lb", "kg"), units.Bushel(r.Bushel))
}

// MassIn is a mass that was poured, let out or seen, and the units that it was
// typed in. A bare number is lb or kg in a form; elsewhere the unit must be
// typed.
func (r *Reader) MassIn(field string) (m units.Mass, in units.In) {
	m = Read(r, field, units.ParseMass, r.labelled("lb", "kg"), units.KeepIn(&in))
	return m, in
}

// Grams is a mass on a kitchen scale; a bare number is grams.
func (r *Reader) Grams(field string) units.Mass {
	return Read(r, field, units.ParseMass, units.Bare("g"))
}

// Caught are masses of seed on a scale, each a text of its own, and the units
// that all were typed in. A bare number is grams in a form; elsewhere the unit
// must be typed.
func (r *Reader) Caught(field string) ([]units.Mass, units.In) {
	return r.masses(field, r.Each(field), r.labelled("g", "g"))
}

// RowMasses are masses of seed row by row, in one text, and the units that all
// were typed in; bare numbers are grams.
func (r *Reader) RowMasses(field string) ([]units.Mass, units.In) {
	return r.masses(field, r.Numbers(field), units.Bare("g"))
}

func (r *Reader) masses(field string, texts []string, bare units.Option) (list []units.Mass, in units.In) {
	ins := make([]units.In, len(texts))
	for i, text := range texts {
		list = append(list, ReadText(r, field, text, units.ParseMass, bare, units.KeepIn(&ins[i])))
	}
	return list, units.OneIn(ins)
}

// VolumeIn is seed by the measure, and the units that it was typed in, which
// must be.
func (r *Reader) VolumeIn(field string) (v units.Volume, in units.In) {
	v = Read(r, field, units.ParseVolume, units.KeepIn(&in))
	return v, in
}

// Length is a length on the ground; a bare number is ft or m.
func (r *Reader) Length(field string) units.Length {
	return Read(r, field, units.ParseLength, r.Bare("ft", "m"))
}

// LengthIn is a length on the ground and the units that it was typed in; a bare
// number is ft or m.
func (r *Reader) LengthIn(field string) (l units.Length, in units.In) {
	l = Read(r, field, units.ParseLength, r.Bare("ft", "m"), units.KeepIn(&in))
	return l, in
}

// Spacing is the spacing of rows; a bare number is in or cm.
func (r *Reader) Spacing(field string) units.Length {
	return Read(r, field, units.ParseLength, r.Bare("in", "cm"))
}

// Area is an area of ground; a bare number is ac or ha.
func (r *Reader) Area(field string) units.Area {
	return Read(r, field, units.ParseArea, r.Bare("ac", "ha"))
}

// Frame is the area of a frame that plants are counted in. A bare number is ft2
// or m2 in a form; elsewhere the unit must be typed.
func (r *Reader) Frame(field string) units.Area {
	return Read(r, field, units.ParseArea, r.labelled("ft2", "m2"))
}

// Rate is a rate of what is in the bag; a bare number is lb/ac or kg/ha, and
// bushels count where it is known what one weighs.
func (r *Reader) Rate(field string, opts ...units.Option) units.RatePerArea {
	return Read(r, field, units.ParseRate, append(opts, r.Bare("lb/ac", "kg/ha"), units.Bushel(r.Bushel))...)
}

// LiveRate is a rate of live seed; a bare number is lb/ac or kg/ha.
func (r *Reader) LiveRate(field string) units.RatePerArea { return r.Rate(field, units.Live()) }

// Share is a part of a whole; a bare number is per cent.
func (r *Reader) Share(field string) units.Share { return Read(r, field, units.ParseShare) }

// WholeShare is a part of a whole that under one per cent makes no sense for,
// so that 0.98 is 98 %. A bare 1 could be 1 % or 100 %, and is refused.
func (r *Reader) WholeShare(field string) units.Share {
	return Read(r, field, units.ParseShare, units.Fraction())
}
