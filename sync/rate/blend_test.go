package rate

import (
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

// Whatever goes out of a blend, or is seen in it, each lot goes in proportion,
// and what went out and is left is what was poured.
func TestABlendKeepsItsProportions(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		a := units.Mass(rapid.Int64Range(1000, 50*int64(kilogram)).Draw(r, "a"))
		b := units.Mass(rapid.Int64Range(1000, 50*int64(kilogram)).Draw(r, "b"))
		s, err := SeedIn([]int{10}, []BoxEvent{{Kind: Poured, Lot: "A", Mass: a}, {Kind: Poured, Lot: "B", Mass: b, Blend: true}})
		if err != nil {
			r.Fatal(err)
		}
		gone := map[string]units.Mass{}
		for i := range rapid.IntRange(1, 6).Draw(r, "stretches") {
			take := units.Mass(rapid.Int64Range(0, int64(a+b)).Draw(r, "mass"))
			if err := s.Keep(2+i, BoxEvent{Kind: Sown, Area: units.Area(take), Rate: 10_000_000}); err != nil {
				r.Fatal(err)
			}
		}
		for _, g := range s.Gone {
			gone[g.Lot] += g.Mass
		}
		all := map[string]units.Mass{"A": gone["A"], "B": gone["B"]}
		for _, l := range s.Sides[0].Layers {
			all[l.Lot] += l.Mass
		}
		if all["A"] != a || all["B"] != b || s.Sides[0].Mass() != a+b-gone["A"]-gone["B"] {
			r.Errorf("gone and left: %v, of %v and %v; %v by the sum", all, a, b, s.Sides[0].Mass())
		}
		want, _ := units.MulDiv(int64(gone["A"]+gone["B"]), int64(a), int64(a+b))
		if d := int64(gone["A"]) - want; d < -8 || d > 8 { // a mg or two for each stretch
			r.Errorf("%v of A went out, want %d mg", gone["A"], want)
		}
	})
}

// What is found in a blend that was thought empty is of both; what is poured
// unmixed lies on top.
func TestABlendByALook(t *testing.T) {
	s, err := SeedIn([]int{10}, []BoxEvent{
		{Kind: Poured, Lot: "A", Mass: 2 * kilogram}, {Kind: Poured, Lot: "B", Mass: kilogram, Blend: true},
		{Kind: TakenOut, Mass: 4 * kilogram}, {Kind: LevelRead, Mass: 300_000},
		{Kind: Poured, Lot: "B", Mass: kilogram}, {Kind: TakenOut, Mass: 150_000},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := []Layer{{"A", 100_000, false}, {"B", 50_000, true}, {"B", kilogram, false}}
	if got := s.Sides[0].Layers; len(got) != 3 || got[0] != want[0] || got[1] != want[1] || got[2] != want[2] {
		t.Errorf("%v, want %v", got, want)
	}
}

// Two parts at 12 and one at 6 are 1 ÷ (2/3 ÷ 12 + 1/3 ÷ 6) = 9, by hand.
func TestTheRateOfABlend(t *testing.T) {
	got, err := BlendEstimates([]units.Mass{2, 1}, []RateEstimate{steady(12_000_000, 0.02), steady(6_000_000, 0.05)})
	if err != nil || got.Rate != 9_000_000 || got.Relative != 0.05 {
		t.Errorf("%+v, %v", got, err)
	}
	if _, err := BlendEstimates([]units.Mass{2}, nil); err == nil {
		t.Error("a mass without a rate is blended")
	}
	if _, err := BlendEstimates([]units.Mass{2, 1}, []RateEstimate{steady(12_000_000, 0.02), {}}); err == nil {
		t.Error("a seed without a rate is blended")
	}
}
