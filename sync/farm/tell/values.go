package tell

import (
	"slices"
	"strings"

	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// valuesIn is what each entry behind two plans says; none where they do not
// contest a field now.
func (s *Teller) valuesIn(f *order.Finding) []message.Message {
	for _, c := range s.Writes(f.Recs[0]) {
		i, ok := c.Thing.Place(c.Field)
		if !ok || !s.FieldText(c.Thing, c.Field).Equal(f.About) {
			continue
		}
		if at := &c.Thing.Fields[i]; slices.Equal(at.Contested(), f.Recs) {
			return valuesOf(c.Thing, at)
		}
	}
	return nil
}

// valuesOf is what each head of a contested field says, in the order of the
// entries. The last counts until somebody settles it, and none counts twice.
func valuesOf(t *thing.Thing, f *thing.FieldReg) []message.Message {
	heads := slices.Sorted(slices.Values(f.Heads))
	out := make([]message.Message, len(heads))
	for i, h := range heads {
		v, _ := f.Value(h)
		out[i] = message.Of("value", value(t, f.Field, v))
		if i == len(heads)-1 {
			out[i] = message.Of("counts-meanwhile", out[i])
		}
	}
	return out
}

// value is a field's value.
func value(t *thing.Thing, f thing.Field, v thing.Value) message.Arg {
	switch {
	case f.Num == thing.PlanComponent && v.S != "":
		return message.Of("value.not-planned")
	case f.Num == thing.PlanComponent && v.M > 0:
		return message.Density(units.Density(v.M))
	case f.Num == thing.PlanComponent:
		return message.Of("value.live", message.Rate(units.RatePerArea(v.N)))
	case f.Num == thing.PlanDepth:
		return message.Length(units.Length(v.N))
	case f.Num == thing.FieldFinished && v.N != 0:
		return message.Of("value.finished")
	case f.Num == thing.FieldFinished:
		return message.Of("value.not-finished")
	case f.Num == thing.FieldCorrection:
		return message.Of("value.correction", message.Decimal(v.N))
	case f.Num == thing.FieldChart:
		return message.Rate(units.RatePerArea(v.N))
	case v.S != "":
		return Texts(strings.Split(v.S, "\x00"))
	}
	return number(t.Kind, f.Num, v.N)
}

// number is a number of a set body, in its own unit.
func number(k thing.ThingKind, num int, n int64) message.Arg {
	type of struct {
		k   thing.ThingKind
		num int
	}
	switch (of{k, num}) {
	case of{thing.Ground, thing.GroundArea}:
		return message.Area(units.Area(n))
	case of{thing.Ground, thing.GroundSlope}:
		return message.Share(units.Share(n))
	case of{thing.Drill, thing.DrillSpacing}, of{thing.Drill, thing.DrillWidth}, of{thing.Drill, thing.DrillRoll}:
		return message.Length(units.Length(n))
	case of{thing.Box, thing.BoxCapacity}:
		return message.Volume(units.Volume(n))
	case of{thing.Lot, thing.LotBag}:
		return message.Mass(units.Mass(n))
	case of{thing.Box, thing.BoxDialFrom}, of{thing.Box, thing.BoxDialTo}, of{thing.Drill, thing.DrillWheelTurns}, of{thing.Drill, thing.DrillCounterTurns}:
		return message.Decimal(n)
	case of{thing.Lot, thing.LotPrice}:
		return message.Money(units.Money(n))
	}
	return message.Whole(n)
}
