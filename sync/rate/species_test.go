package rate

import (
	"errors"
	"os"
	"strings"
	"testing"
)

func TestEverySpeciesReads(t *testing.T) {
	list := AllSpecies()
	if len(list) != 54 {
		t.Errorf("%d species, want the 54 of testdata/published/species.csv", len(list))
	}
	for _, s := range list {
		found, err := FindSpecies(strings.ToUpper(s.Name))
		if err != nil || found.Name != s.Name {
			t.Errorf("%s: found %q, %v", s.Name, found.Name, err)
		}
		c, ok := s.SeedCount()
		if s.Name == "Triticale" { // no count of it was read
			ok = !ok
		} else if !ok || c.PerPound <= 0 || c.Low > c.PerPound || c.High < c.PerPound || c.Size.check() != nil {
			ok = false
		}
		if !ok {
			t.Errorf("%s: seed count %+v", s.Name, c)
		}
		for _, f := range s.figures {
			if f.Source.Title == "" || f.Source.Publisher == "" || f.Source.Address == "" {
				t.Errorf("%s: %s has no source", s.Name, f.Kind)
			}
		}
	}
}

// The figures are those of the sources named in the test's own words, as
// testdata/published/species.csv holds them.
func TestSeedCountSaysWhoseAndHowFarOthersDiffer(t *testing.T) {
	for _, c := range []struct {
		name, publisher           string
		perPound, lowest, highest float64
	}{
		{"tall fescue", "USDA NRCS", 205_720, 205_720, 230_000},
		{"orchardgrass", "USDA NRCS", 427_200, 427_200, 654_000},
		{"Sericea lespedeza", "USDA Agricultural Marketing Service", 371_946, 335_000, 371_946},
		{"wheat", "USDA NRCS", 11_360, 9_610, 20_000},
		{"ladino", "USDA Agricultural Marketing Service", 877_701, 877_701, 877_701},
		{"Hybrid brome", "Saskatchewan Ministry of Agriculture (newspaper column)", 90_900, 90_900, 90_900},
	} {
		s, err := FindSpecies(c.name)
		if err != nil {
			t.Fatal(err)
		}
		got, _ := s.SeedCount()
		if got.PerPound != c.perPound || got.Source.Publisher != c.publisher || got.Low != c.lowest || got.High != c.highest {
			t.Errorf("%s: %v, %v to %v", c.name, got, got.Low, got.High)
		}
	}
}

func TestUnknownSpeciesNamesTheNearest(t *testing.T) {
	_, err := FindSpecies("orchard gras")
	if !errors.Is(err, ErrUnknownSpecies) || !strings.Contains(err.Error(), "Orchardgrass") {
		t.Errorf("orchard gras: %v", err)
	}
	if _, err := FindSpecies(strings.Repeat("x", 10_000)); !errors.Is(err, ErrUnknownSpecies) {
		t.Errorf("a long name: %v", err)
	}
}

// Indiana Code 24-6-1-1 and Iowa Code 210.10 differ on buckwheat: 50 and 48.
func TestBushelWeightNamesItsAuthority(t *testing.T) {
	buckwheat, _ := FindSpecies("buckwheat")
	for _, c := range []struct {
		authority string
		pounds    float64
	}{{"", 50}, {"Indiana", 50}, {"iowa", 48}} {
		b, err := buckwheat.BushelWeight(c.authority)
		if err != nil || b.Mass.Pounds() < c.pounds-1e-4 || b.Mass.Pounds() > c.pounds+1e-4 || !b.Legal {
			t.Errorf("%q: %v, %v; want %v lb", c.authority, b, err, c.pounds)
		}
	}
	if _, err := buckwheat.BushelWeight("Ohio"); err == nil || !strings.Contains(err.Error(), "State of Iowa") {
		t.Errorf("Ohio: %v", err)
	}
	fescue, _ := FindSpecies("fescue") // University of Missouri, G4020, and Ohio State University, AGF-503
	if b, err := fescue.BushelWeight("Missouri"); err != nil || b.Legal || !strings.Contains(b.String(), "14 lb/bu (University of Missouri") {
		t.Errorf("tall fescue in Missouri: %v, %v", b, err)
	}
	if b, err := fescue.BushelWeight("Ohio"); err != nil || !strings.Contains(b.String(), "32 lb/bu (Ohio State") {
		t.Errorf("tall fescue in Ohio: %v, %v", b, err)
	}
	if _, err := fescue.BushelWeight(""); err == nil || !strings.Contains(err.Error(), "differ (14 lb by University of Missouri Extension, 32 lb by Ohio State University Extension)") {
		t.Errorf("tall fescue by nobody: %v", err)
	}
	pearl, _ := FindSpecies("pearl millet")
	if _, err := pearl.BushelWeight(""); err == nil {
		t.Error("pearl millet has a bushel weight from nowhere")
	}
}

func TestLegumes(t *testing.T) {
	for name, want := range map[string]bool{"red clover": true, "alfalfa": true, "sunn hemp": true, "oat": false, "chicory": false, "turnip": false} {
		s, err := FindSpecies(name)
		if err != nil || s.IsLegume() != want {
			t.Errorf("%s: legume %v, %v", name, s.IsLegume(), err)
		}
	}
}

func TestRangeOfAFigure(t *testing.T) {
	for text, want := range map[string][3]float64{"15-20": {15, 20, 1}, "up to 1": {0, 1, 1}, "no deeper than 0.25": {0, 0.25, 1},
		"14": {14, 14, 1}, "9610-16316 (mean 13126)": {9610, 16316, 1}, "75-100 (forage); 40-60 (cover)": {}, "yes": {}} {
		low, high, ok := Figure{Value: text}.Range()
		if ok != (want[2] == 1) || ok && (low != want[0] || high != want[1]) {
			t.Errorf("%q is %v to %v, %v", text, low, high, ok)
		}
	}
}

// The embedded species table is the one with the published figures.
func TestEmbeddedTableIsThePublishedOne(t *testing.T) {
	got, err := os.ReadFile("../../testdata/published/species.csv")
	if err != nil || string(got) != speciesTable {
		t.Error("sync/rate/species.csv differs from testdata/published/species.csv", err)
	}
}
