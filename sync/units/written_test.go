package units_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

// What is typed in a common unit, with as many decimals as people type, reads
// back from what is shown as the very same quantity; in the system's own large
// unit it is shown letter for letter.
func TestTypedComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.IntRange(1, 999).Draw(t, "whole")
		part := rapid.IntRange(0, 99).Draw(t, "part")
		number := strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%d.%02d", whole, part), "0"), ".")
		for _, s := range []units.System{units.US, units.Metric} {
			for _, unit := range []string{"lb", "kg"} {
				m, err := units.ParseMass(number + " " + unit)
				if err != nil {
					t.Fatal(err)
				}
				got := m.Written(s)
				if back, err := units.ParseMass(got); err != nil || back != m {
					t.Fatalf("%s %s is shown as %s", number, unit, got)
				}
				if own := map[units.System]string{units.US: "lb", units.Metric: "kg"}[s]; unit == own && strings.ReplaceAll(got, ",", "") != number+" "+unit {
					t.Fatalf("%s %s is shown as %s", number, unit, got)
				}
			}
			for _, unit := range []string{"lb/ac", "kg/ha"} {
				r, err := units.ParseRate(number + " " + unit)
				if err != nil {
					t.Fatal(err)
				}
				got := r.Written(s)
				if back, err := units.ParseRate(got); err != nil || back != r {
					t.Fatalf("%s %s is shown as %s", number, unit, got)
				}
			}
		}
	})
}

func TestWritten(t *testing.T) {
	for typed, want := range map[string]string{"400 g": "400 g", "1 lb": "1 lb", "81 lb": "81 lb", "12345.6 lb": "12,345.6 lb", "3 lb 4 oz": "3.25 lb",
		"12 oz": "12 oz", "22.5 kg": "22.5 kg", "212.5 g": "212.5 g"} {
		m, err := units.ParseMass(typed)
		if got := m.Written(units.US); err != nil || got != want {
			t.Errorf("%s is shown as %s, want %s; %v", typed, got, want, err)
		}
	}
	if got := units.Mass(90_718_400).Written(units.US); got != "200 lb" { // 200 times a pound of 453,592 mg
		t.Errorf("200 lb by a rounded pound is shown as %s", got)
	}
	if got := units.Mass(22_679_619 / 3).Written(units.US); got != "16.67 lb" {
		t.Errorf("a third of 50 lb is shown as %s", got)
	}
}
