package words

import (
	"slices"
	"strings"

	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

// valuesIn is what each entry behind two plans says; none where they do not
// contest a field now.
func (s *Words) valuesIn(f *order.Finding) []string {
	for _, c := range s.Writes(f.Recs[0]) {
		i, ok := c.Thing.Place(c.Field)
		if !ok || s.FieldText(c.Thing, c.Field) != f.About {
			continue
		}
		if at := &c.Thing.Fields[i]; slices.Equal(at.Contested(), f.Recs) {
			return s.valuesOf(c.Thing, at)
		}
	}
	return nil
}

// valuesOf is what each head of a contested field says, in the order of the
// entries. The last counts until somebody settles it, and none counts twice.
func (s *Words) valuesOf(t *thing.Thing, f *thing.FieldReg) []string {
	heads := slices.Sorted(slices.Values(f.Heads))
	out := make([]string, len(heads))
	for i, h := range heads {
		v, _ := f.Value(h)
		out[i] = s.valueText(t, f.Field, v)
		if i == len(heads)-1 {
			out[i] += ", which counts meanwhile"
		}
	}
	return out
}

// valueText is a field's value as people write it.
func (s *Words) valueText(t *thing.Thing, f thing.Field, v thing.Value) string {
	switch {
	case f.Num == thing.PlanComponent && v.S != "":
		return "not planned"
	case f.Num == thing.PlanComponent && v.M > 0:
		return units.Density(v.M).Format(s.System())
	case f.Num == thing.PlanComponent:
		return units.RatePerArea(v.N).Format(s.System()) + " live"
	case f.Num == thing.PlanDepth:
		return units.Length(v.N).Format(s.System())
	case f.Num == thing.FieldFinished && v.N != 0:
		return "finished"
	case f.Num == thing.FieldFinished:
		return "not finished"
	case f.Num == thing.FieldCorrection:
		return thing.Decimal(v.N) + " times what it shows"
	case f.Num == thing.FieldChart:
		return units.RatePerArea(v.N).Format(s.System())
	case v.S != "":
		return strings.ReplaceAll(v.S, "\x00", ", ")
	}
	return s.numberText(t.Kind, f.Num, v.N)
}

// numberText is a number of a set body, in its own unit.
func (s *Words) numberText(k thing.ThingKind, num int, n int64) string {
	type of struct {
		k   thing.ThingKind
		num int
	}
	switch (of{k, num}) {
	case of{thing.Ground, thing.GroundArea}:
		return units.Area(n).Format(s.System())
	case of{thing.Ground, thing.GroundSlope}:
		return units.Share(n).String()
	case of{thing.Drill, thing.DrillSpacing}, of{thing.Drill, thing.DrillWidth}, of{thing.Drill, thing.DrillRoll}:
		return units.Length(n).Format(s.System())
	case of{thing.Box, thing.BoxCapacity}:
		return units.Volume(n).Format(s.System())
	case of{thing.Lot, thing.LotBag}:
		return units.Mass(n).Format(s.System())
	case of{thing.Box, thing.BoxDialFrom}, of{thing.Box, thing.BoxDialTo}, of{thing.Drill, thing.DrillWheelTurns}, of{thing.Drill, thing.DrillCounterTurns}:
		return thing.Decimal(n)
	case of{thing.Lot, thing.LotPrice}:
		return units.Money(n).Format("")
	}
	return units.Count(n * 1000).String()
}
