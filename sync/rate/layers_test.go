package rate

import (
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

// The mass that a compartment keeps along is the sum of its layers, whatever
// happens to the box.
func TestMassIsThatOfTheLayers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, err := EmptyBox([]int{8, 5, 3}[:rapid.IntRange(1, 3).Draw(t, "sides")])
		if err != nil {
			t.Fatal(err)
		}
		for i := range rapid.IntRange(1, 40).Draw(t, "events") {
			e := BoxEvent{
				Kind: EventKind(rapid.IntRange(int(Poured), int(LevelRead)).Draw(t, "kind")),
				Side: rapid.IntRange(AllSides, len(s.Sides)-1).Draw(t, "side"),
				Lot:  rapid.SampledFrom([]string{"O-1", "C-2", "V-3"}).Draw(t, "lot"),
				Mass: units.Mass(rapid.Int64Range(0, 90e6).Draw(t, "mass")),
				Std:  units.Mass(rapid.Int64Range(0, 1e6).Draw(t, "uncertainty")),
				Area: units.Area(rapid.Int64Range(0, 1e8).Draw(t, "area")),
				Rate: units.RatePerArea(rapid.Int64Range(0, 1e6).Draw(t, "rate")),
			}
			if err := s.Keep(i, e); err != nil {
				t.Fatal(err)
			}
			for _, side := range s.Sides {
				var sum units.Mass
				for _, l := range side.Layers {
					sum += l.Mass
				}
				if sum != side.Mass() || sum < 0 {
					t.Fatalf("after event %d: %d mg, layers of %v", i, side.Mass(), side.Layers)
				}
			}
		}
	})
}
