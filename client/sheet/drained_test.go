package sheet_test

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// What was weighed out stands in the sheet as it was written, whatever the
// books made of it: 81 lb where they had 90, 1 lb where they had a little left.
func TestWeighedOutIsPrintedAsWritten(t *testing.T) {
	for _, c := range []struct {
		level, out string
		all        bool
		want       string
	}{{"90 lb", "81 lb", true, "81.0"}, {"0.2 lb", "1 lb", false, "1.00"}, {"90 lb", "81 lb", false, "81.0"}, {"40 lb", "40.5 lb", true, "40.5"}, {"90 lb", "81.375 lb", true, "81.375"}} {
		b := newCrew(t)
		drill := b.Write(0, &entry.DrillSet{Name: entry.Some("drill"), Rows: entry.Some(int64(16)), Spacing: entry.Some(units.Length(190_500)),
			Roll: entry.Some(units.Length(2_489_200)), Counter: entry.CountsAcres})
		box := b.Write(0, &entry.BoxSet{Drill: drill, Name: entry.Some("grain"), DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(100_000))})
		lot := b.Write(0, &entry.LotSet{Name: entry.Some("O-1"), Species: entry.Some("oat"), Bag: entry.Some(lb("50 lb"))})
		ground := b.Write(0, &entry.GroundSet{Name: entry.Some("bench"), Area: entry.Some(areaOf("10 ac"))})
		b.Write(0, &entry.ChartPointSet{Box: box, Species: "oat", Dial: 20_000, Rate: rateOf("18 lb/ac")})
		b.Write(0, &entry.ChartPointSet{Box: box, Species: "oat", Dial: 40_000, Rate: rateOf("41 lb/ac")})
		b.Write(0, &entry.DialMoved{Box: box, To: 30_000, Why: "chart"})
		b.Write(0, &entry.CounterStood{Drill: drill, Reading: 0})
		b.Write(0, &entry.Filled{Box: box, Lot: lot, Bags: 4000})
		b.Write(0, &entry.MeterRead{Drill: drill, Reading: 2000, Ground: ground})
		b.Write(0, &entry.LevelRead{Box: box, Mass: entry.Some(lb(c.level))})
		b.Write(0, &entry.MeterRead{Drill: drill, Reading: 2001, Ground: ground})
		b.Write(0, &entry.Drained{Box: box, All: c.all, Mass: lb(c.out)})
		doc := b.sheet("2026-09-14", "2026-09-14", units.US).DaySheet()
		if got := column(t, doc, "left", "Seed, lb"); got[len(got)-1] != c.want {
			t.Errorf("%s of %s: %q, want %q", c.out, c.level, got, c.want)
		}
	}
}

// What was weighed in other units than a column's stands beside it as it was
// written; what was weighed in the column's own does not.
func TestOtherUnitsStandAsWritten(t *testing.T) {
	b := newCrew(t)
	drill := b.Write(0, &entry.DrillSet{Name: entry.Some("drill"), Rows: entry.Some(int64(16)), Spacing: entry.Some(units.Length(190_500)),
		Roll: entry.Some(units.Length(2_489_200)), Counter: entry.CountsAcres})
	box := b.Write(0, &entry.BoxSet{Drill: drill, Name: entry.Some("grain"), DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(100_000))})
	lot := b.Write(0, &entry.LotSet{Name: entry.Some("O-1"), Species: entry.Some("oat"), Bag: entry.Some(lb("50 lb"))})
	in := func(text string) (m units.Mass, in units.In) {
		m, err := units.ParseMass(text, units.KeepIn(&in))
		if err != nil {
			t.Fatal(err)
		}
		return m, in
	}
	for _, text := range []string{"20 kg", "30 lb", "5 lb 3 oz"} {
		f := &entry.Filled{Box: box, Lot: lot}
		f.Mass, f.MassIn = in(text)
		b.Write(0, f)
	}
	level := &entry.LevelRead{Box: box, Mass: entry.Some(units.Mass(0))}
	level.Mass.Val, level.MassIn = in("36 kg")
	b.Write(0, level)
	for _, text := range []string{"0.3 lb", "130 g"} {
		c := &entry.Caught{Box: box, Lot: lot, Dial: 40_000, Turns: 20_000, Rows: 4, Masses: make([]units.Mass, 1)}
		c.Masses[0], c.MassIn = in(text)
		b.Write(0, c)
	}
	doc := b.sheet("2026-09-14", "2026-09-14", units.US).DaySheet()
	for table, want := range map[string][]string{"fills": {"20 kg", "", "5 lb 3 oz"}, "left": {"36 kg"}, "catches": {"0.3 lb", ""}} {
		if got := column(t, doc, table, "As written"); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", table, got, want)
		}
	}
}
