package rate

import (
	"errors"
	"strings"
	"testing"

	"turnrow/sync/units"
)

func named(t *testing.T, names ...string) []Species {
	t.Helper()
	var list []Species
	for _, n := range names {
		s, err := FindSpecies(n)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, s)
	}
	return list
}

// Conservation Technology Information Center, citing NRCS: oats at 1 to 1.5
// bu/ac on steep or weedy ground; 32 lb to the bushel by Indiana Code 24-6-1-1.
func TestNurseCropOnASlope(t *testing.T) {
	oat := named(t, "oats")[0]
	bushel := want(oat.BushelWeight("Indiana"))
	advice := want(NurseCrop(share(0.12), false, false))
	low := want(units.ParseRate("1 bu/ac", units.Bushel(bushel.Mass)))
	high := want(units.ParseRate("1.5 bu/ac", units.Bushel(bushel.Mass)))
	if advice == nil || advice.Low != low || advice.High != high || !strings.Contains(advice.Source, "NRCS") {
		t.Errorf("advice %+v, want %v to %v", advice, low, high)
	}
	if advice := want(NurseCrop(share(0.02), true, false)); advice == nil || !strings.Contains(advice.Text, "weedy") {
		t.Errorf("weedy ground: %+v", advice)
	}
	if want(NurseCrop(share(0.02), false, false)) != nil || want(NurseCrop(share(0.3), true, true)) != nil {
		t.Error("advice where none is wanted")
	}
	if err := second(NurseCrop(-1, false, false)); !errors.Is(err, units.ErrRange) {
		t.Errorf("a slope below nothing: %v", err)
	}
}

func TestNurseCropTooThick(t *testing.T) {
	alone := lbPerAcre(90) // oat alone, Mississippi State University Extension, 90 to 120
	if want(ThickNurse(lbPerAcre(45), alone)) != nil {
		t.Error("half is not over half")
	}
	if c := want(ThickNurse(lbPerAcre(48), alone)); c == nil || !strings.Contains(c.Source, "Pennsylvania") {
		t.Errorf("over half: %v", c)
	}
	if second(ThickNurse(0, alone)) == nil || second(ThickNurse(alone, 0)) == nil {
		t.Error("no rate passed")
	}
	if c := ShadedLegume(named(t, "tall fescue", "white clover"), true); c == nil || !strings.Contains(c.Text, "White clover") {
		t.Errorf("shade: %v", c)
	}
	if ShadedLegume(named(t, "tall fescue"), true) != nil || ShadedLegume(named(t, "white clover"), false) != nil {
		t.Error("shade where there is none")
	}
}

func TestLegumesAreRemindedOf(t *testing.T) {
	clover := named(t, "red clover")[0]
	if c := Inoculate(clover, false); c == nil || !strings.Contains(c.String(), "University of Missouri") {
		t.Errorf("inoculant: %v", c)
	}
	if Inoculate(clover, true) != nil || Inoculate(named(t, "timothy")[0], false) != nil {
		t.Error("inoculant where none is wanted")
	}
	if c := SprayOverLegume(named(t, "orchardgrass", "red clover", "alfalfa"), true); c == nil ||
		!strings.Contains(c.Text, "Red clover and Alfalfa") || c.Source != commonPractice {
		t.Errorf("spray: %v", c)
	}
	if SprayOverLegume(named(t, "orchardgrass"), true) != nil || SprayOverLegume(named(t, "red clover"), false) != nil {
		t.Error("spray warned of where it does no harm")
	}
	if c := TrustNoChart(); c.Text == "" || c.Source == commonPractice {
		t.Errorf("chart: %v", c)
	}
}
