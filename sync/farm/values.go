package farm

import (
	"slices"
	"strings"

	"turnrow/sync/units"
)

// valuesIn is what each entry behind two plans says; none where they do not
// contest a field now.
func (s *wordSt) valuesIn(f *finding) []string {
	for _, c := range s.writes(f.recs[0]) {
		i, ok := c.thing.place(c.field)
		if !ok || s.fieldText(c.thing, c.field) != f.about {
			continue
		}
		if at := &c.thing.fields[i]; slices.Equal(at.contested(), f.recs) {
			return s.valuesOf(c.thing, at)
		}
	}
	return nil
}

// valuesOf is what each head of a contested field says, in the order of the
// entries. The last counts until somebody settles it, and none counts twice.
func (s *wordSt) valuesOf(t *thing, f *fieldReg) []string {
	heads := slices.Sorted(slices.Values(f.heads))
	out := make([]string, len(heads))
	for i, h := range heads {
		v, _ := f.value(h)
		out[i] = s.valueText(t, f.field, v)
		if i == len(heads)-1 {
			out[i] += ", which counts meanwhile"
		}
	}
	return out
}

// valueText is a field's value as people write it.
func (s *wordSt) valueText(t *thing, f field, v value) string {
	switch {
	case f.num == planComponent && v.s != "":
		return "not planned"
	case f.num == planComponent && v.m > 0:
		return units.Density(v.m).Format(s.system())
	case f.num == planComponent:
		return units.RatePerArea(v.n).Format(s.system()) + " live"
	case f.num == planDepth:
		return units.Length(v.n).Format(s.system())
	case f.num == fieldFinished && v.n != 0:
		return "finished"
	case f.num == fieldFinished:
		return "not finished"
	case f.num == fieldCorrection:
		return decimal(v.n) + " times what it shows"
	case f.num == fieldChart:
		return units.RatePerArea(v.n).Format(s.system())
	case v.s != "":
		return strings.ReplaceAll(v.s, "\x00", ", ")
	}
	return s.numberText(t.kind, f.num, v.n)
}

// numberText is a number of a set body, in its own unit.
func (s *wordSt) numberText(k thingKind, num int, n int64) string {
	type of struct {
		k   thingKind
		num int
	}
	switch (of{k, num}) {
	case of{ground, groundArea}:
		return units.Area(n).Format(s.system())
	case of{ground, groundSlope}:
		return units.Share(n).String()
	case of{drill, drillSpacing}, of{drill, drillWidth}, of{drill, drillRoll}:
		return units.Length(n).Format(s.system())
	case of{box, boxCapacity}:
		return units.Volume(n).Format(s.system())
	case of{lot, lotBag}:
		return units.Mass(n).Format(s.system())
	case of{box, boxDialFrom}, of{box, boxDialTo}, of{drill, drillWheelTurns}, of{drill, drillCounterTurns}:
		return decimal(n)
	case of{lot, lotPrice}:
		return units.Money(n).Format("")
	}
	return units.Count(n * 1000).String()
}
