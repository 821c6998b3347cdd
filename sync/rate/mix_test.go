package rate

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

// However the bulk rates fall, the shares of mass add up to exactly the whole,
// and each lies within one step of its true share.
func TestMixSharesSumToOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts []Part
		for range rapid.IntRange(1, 12).Draw(t, "parts") {
			parts = append(parts, Part{Bulk: units.RatePerArea(rapid.Int64Range(1, 1e7).Draw(t, "bulk"))})
		}
		m, err := Together(parts)
		if err != nil {
			t.Fatal(err)
		}
		sum := units.Share(0)
		for _, p := range m.Parts {
			sum += p.OfMass
			if off := float64(p.OfMass) - float64(p.Bulk)/float64(m.Bulk)*1e5; math.Abs(off) > 1 {
				t.Fatalf("%v of %v is given as %v", p.Bulk, m.Bulk, p.OfMass)
			}
		}
		if sum != units.Whole {
			t.Fatalf("shares add up to %v", sum)
		}
	})
}

// A pasture for the bench: 60 % of a stand of tall fescue (14 lb/ac alone) and
// 25 % of one of white clover (4 lb/ac alone), rates within those of West
// Virginia University Extension, TRIM 5302.
func TestMixByStand(t *testing.T) {
	m, err := MixByStand([]Component{
		{Name: "tall fescue", Share: share(0.6), Full: lbPerAcre(14), Live: 0.84, Size: perPound(205_720)},
		{Name: "white clover", Share: share(0.25), Full: lbPerAcre(4), Live: 0.5},
	})
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "fescue bulk", m.Parts[0].Bulk.LbPerAcre(), 10, 1e-5)
	agree(t, "clover bulk", m.Parts[1].Bulk.LbPerAcre(), 2, 1e-5)
	agree(t, "box rate", m.Bulk.LbPerAcre(), 12, 1e-5)
	agree(t, "live", m.Live.LbPerAcre(), 9.4, 1e-5)
	agree(t, "fescue's share", m.Parts[0].OfMass.Fraction(), 10.0/12, 2e-5)
	agree(t, "fescue's live seeds", m.Parts[0].Seeds.PerSquareFoot(), 8.4*205_720/43_560, 1e-4)
	if m.Parts[1].Seeds != 0 {
		t.Errorf("clover has %v seeds without a count", m.Parts[1].Seeds)
	}
	lines := m.Explain(units.US)
	if !slices.Equal(lines, []string{
		"tall fescue: live 8.4 lb/ac, bulk 10 lb/ac, 83.333 % of the mass, live seeds 39.67 /ft2",
		"white clover: live 1 lb/ac, bulk 2 lb/ac, 16.667 % of the mass",
		"together: bulk 12 lb/ac"}) {
		t.Errorf("%q", lines)
	}
}

func TestMixBySeedsKeepsTheSeeds(t *testing.T) {
	m, err := MixBySeeds([]Component{
		{Name: "orchardgrass", Seeds: perFt2(40), Live: 0.8, Size: perPound(427_200)},
		{Name: "red clover", Seeds: perFt2(20), Live: 0.9, Size: perPound(272_160)},
	})
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "orchardgrass", m.Parts[0].Seeds.PerSquareFoot(), 40, 1e-4)
	agree(t, "all seeds", m.Seeds.PerSquareFoot(), 60, 1e-4)
	agree(t, "orchardgrass bulk", m.Parts[0].Bulk.LbPerAcre(), 40*43_560/427_200.0/0.8, 1e-4)
}

func TestMixRefuses(t *testing.T) {
	full := lbPerAcre(10)
	half := Component{Name: "a", Share: share(0.5), Full: full, Live: 0.9}
	for name, refused := range map[string]func() error{
		"nothing":       func() error { _, err := MixByStand(nil); return err },
		"no share":      func() error { _, err := MixByStand([]Component{{Name: "a", Full: full, Live: 1}}); return err },
		"no full stand": func() error { _, err := MixByStand([]Component{{Name: "a", Share: share(0.5), Live: 1}}); return err },
		"no live share": func() error {
			_, err := MixByStand([]Component{{Name: "a", Share: share(0.5), Full: full}})
			return err
		},
		"not the whole":   func() error { _, err := MixByMass(full, []Component{half}); return err },
		"negative share":  func() error { _, err := MixByMass(full, []Component{{Name: "a", Share: -1}}); return err },
		"no rate by mass": func() error { _, err := MixByMass(0, []Component{half, half}); return err },
		"no seeds":        func() error { _, err := MixBySeeds([]Component{{Name: "a", Live: 1, Size: 100}}); return err },
		"no seed count":   func() error { _, err := MixBySeeds([]Component{{Name: "a", Live: 1, Seeds: 1000}}); return err },
		"no bulk":         func() error { _, err := Together([]Part{{Name: "a"}}); return err },
	} {
		if err := refused(); !errors.Is(err, units.ErrRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
