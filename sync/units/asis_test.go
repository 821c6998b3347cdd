package units_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

// What somebody wrote comes back in the units that it was written in, whatever
// system the farm shows.
func TestAsWritten(t *testing.T) {
	mass := func(text string, s units.System) (string, units.In) {
		var in units.In
		m, err := units.ParseMass(text, units.KeepIn(&in), units.Bare("g"))
		if err != nil {
			t.Fatal(err)
		}
		return m.As(in, s), in
	}
	volume := func(text string, s units.System) (string, units.In) {
		var in units.In
		v, err := units.ParseVolume(text, units.KeepIn(&in))
		if err != nil {
			t.Fatal(err)
		}
		return v.As(in, s), in
	}
	length := func(text string, s units.System) (string, units.In) {
		var in units.In
		l, err := units.ParseLength(text, units.KeepIn(&in))
		if err != nil {
			t.Fatal(err)
		}
		return l.As(in, s), in
	}
	for _, c := range []struct {
		as          func(string, units.System) (string, units.In)
		typed, want string
	}{
		{mass, "40lb", "40 lb"}, {mass, "5lb3oz", "5 lb 3 oz"}, {mass, "12 g", "12 g"}, {mass, "38 lb", "38 lb"}, {mass, "18.2", "18.2 g"},
		{mass, "3 lb 0 oz", "3 lb"}, {mass, "0 lb 4 oz", "4 oz"}, {mass, "1/3 lb", "1/3 lb"}, {mass, "2 1/8 lb", "2.125 lb"}, {mass, "40#", "40 lb"},
		{mass, "1 cwt", "1 cwt"}, {mass, "0.5 ton", "0.5 tons"}, {mass, "0 g", "0 g"}, {mass, "12,345 g", "12,345 g"}, {mass, "1/2 bu at 32 lb/bu", "16 lb"},
		{mass, "22.5 kilos", "22.5 kg"}, {mass, "500 mg", "500 mg"},
		{volume, "3 quarts", "3 qt"}, {volume, "6 cups", "6 cups"}, {volume, "1 cup", "1 cup"}, {volume, "1/3 cup", "1/3 cup"}, {volume, "2 1/3 cups", "2 1/3 cups"},
		{volume, "1.5 gal", "1.5 gal"}, {volume, "1 gal 2 qt", "1 gal 2 qt"}, {volume, "4 bu", "4 bu"}, {volume, "2 l", "2 l"}, {volume, "1 pk", "1 pk"},
		{volume, "0.5 cup", "0.5 cup"}, {volume, "1.5 cups", "1.5 cups"},
		{volume, "1/6 bu", "1/6 bu"}, {volume, "⅚ bu", "5/6 bu"}, {volume, "1/6 cup", "1/6 cup"}, {volume, "⅐ pk", "1/7 pk"}, {volume, "1/3 bu", "1/3 bu"},
		{mass, "⅙ lb", "1/6 lb"}, {mass, "1⅑ lb", "1 1/9 lb"}, {mass, "1/16 lb", "1/16 lb"}, {mass, "2/6 lb", "1/3 lb"}, {mass, "⅕ lb", "0.2 lb"}, {mass, "3 lb 1/6 oz", "3 lb 1/6 oz"},
		{length, "7 1/16 in", "7 1/16 in"}, {length, "⅙ ft", "1/6 ft"},
		{length, "150 ft", "150 ft"}, {length, "45 m", "45 m"}, {length, "30 in", "30 in"}, {length, "8ft2in", "8 ft 2 in"}, {length, "50 yd", "50 yd"},
	} {
		for _, s := range []units.System{units.US, units.Metric} {
			if got, in := c.as(c.typed, s); got != c.want && !(in == 0 && s == units.Metric) {
				t.Errorf("%s is shown as %s, want %s", c.typed, got, c.want)
			}
		}
	}
	if got := units.Mass(1_000_003).As(2, units.US); got != units.Mass(1_000_003).Written(units.US) {
		t.Errorf("1.000003 kg, which nobody typed in pounds, is shown as %s", got)
	}
	if got := units.Mass(1_000_000).As(units.MassIn+1, units.US); got != "1 kg" {
		t.Errorf("1 kg in a unit to come is shown as %s", got)
	}
}

// Whatever was typed in two units reads back as the very same mass.
func TestAsWrittenReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]string{"lb", "oz", "kg", "g", "cwt", "ton"}).Draw(t, "unit")
		typed := fmt.Sprintf("%d.%02d %s", rapid.IntRange(0, 9999).Draw(t, "whole"), rapid.IntRange(0, 99).Draw(t, "part"), unit)
		if rapid.Bool().Draw(t, "two") {
			typed = fmt.Sprintf("%d lb %d.%d oz", rapid.IntRange(0, 999).Draw(t, "lb"), rapid.IntRange(0, 15).Draw(t, "oz"), rapid.IntRange(0, 9).Draw(t, "tenths"))
		}
		var in units.In
		m, err := units.ParseMass(typed, units.KeepIn(&in))
		if err != nil {
			t.Fatal(err)
		}
		got := m.As(in, units.System(rapid.IntRange(0, 1).Draw(t, "system")))
		if back, err := units.ParseMass(got); err != nil || back != m {
			t.Fatalf("%s is shown as %s: %v", typed, got, err)
		}
		if m > 0 && !strings.Contains(typed, strings.TrimSuffix(got[strings.LastIndex(got, " ")+1:], "s")) {
			t.Fatalf("%s is shown as %s", typed, got)
		}
	})
}

// A fraction that people write comes back as it was written, or as the decimal
// of the same worth, in its own unit, and reads back as the very same.
func TestFractionsAreShownAsWritten(t *testing.T) {
	for _, unit := range []string{"bu", "gal", "qt", "cups", "pk", "l"} {
		for _, under := range []int{2, 3, 4, 5, 6, 7, 8, 9, 10, 16} {
			for over := 1; over < under; over++ {
				typed := fmt.Sprintf("%d/%d %s", over, under, unit)
				var in units.In
				v, err := units.ParseVolume(typed, units.KeepIn(&in))
				if err != nil {
					t.Fatal(err)
				}
				got := v.As(in, units.US)
				if back, err := units.ParseVolume(got); err != nil || back != v || !strings.HasSuffix(got, strings.TrimSuffix(unit, "s")) && !strings.HasSuffix(got, unit) {
					t.Errorf("%s is shown as %s, %v", typed, got, err)
				}
			}
		}
	}
}
