package rate

import (
	"strings"
	"testing"

	"turnrow/sync/units"
)

// Oat weighs 32 lb to the bushel by Indiana Code 24-6-1-1, red clover 60.
func TestBushelsOnChartsAndBags(t *testing.T) {
	r, in, err := ReadRate("0.4 bu/ac", "oat")
	if err != nil || r != lbPerAcre(12.8) || in.Printed != "0.4 bu/ac" || !strings.Contains(in.By.String(), "32 lb/bu (State of Indiana, Indiana Code 24-6-1-1") {
		t.Errorf("0.4 bu/ac of oat is %v, %+v, %v", r, in, err)
	}
	r, in, err = ReadRate("0.4 bu/A at 36 lb/bu", "pearl millet")
	if err != nil || r != lbPerAcre(14.4) || in.Printed != "0.4 bu/A at 36 lb/bu" || in.By.String() != "36 lb/bu (as written)" {
		t.Errorf("0.4 bu/A at 36 lb/bu is %v, %+v, %v", r, in, err)
	}
	if r, in, err = ReadRate("18 lb/ac", "pearl millet"); err != nil || r != lbPerAcre(18) || in.Printed != "" {
		t.Errorf("18 lb/ac is %v, %+v, %v", r, in, err)
	}
	m, in, err := ReadBag("1 bu", "red clover")
	if err != nil || m.Pounds() < 59.999 || m.Pounds() > 60.001 || in.Printed != "1 bu" {
		t.Errorf("1 bu of red clover is %v, %+v, %v", m, in, err)
	}
	for species, want := range map[string]string{
		"pearl millet": `"0.4 bu/ac": no bushel weight of Pearl millet was published; write what a bushel of it weighs, such as 0.4 bu/ac at 32 lb/bu`,
		"tall fescue":  `"0.4 bu/ac": bushel weights of Tall fescue differ (14 lb by`,
		"":             "which species it is of is not known; write what a bushel",
		"tall fesuce":  "unknown species",
	} {
		if _, _, err := ReadRate("0.4 bu/ac", species); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("bushels of %q: %v", species, err)
		}
	}
	if _, _, err := ReadBag("1 bu/ac", "oat"); err == nil {
		t.Error("a rate passed for a bag")
	}
	if _, _, err := ReadRate("0,4 bu/ac", "oat", units.DecimalComma()); err != nil {
		t.Errorf("0,4 bu/ac: %v", err)
	}
}
