package units_test

import (
	"errors"
	"strings"
	"testing"

	"turnrow/sync/units"
)

// Exact values by NIST SP 811, Appendix B, and Handbook 44, Appendix C: inch
// 25.4 mm, pound 453.59237 g, acre 4046.8564224 m², bushel 2150.42 in³.
func TestParseReadsWhatPeopleWrite(t *testing.T) {
	for _, c := range []struct {
		kind, text string
		want       int64
	}{
		{"mass", "212 g", 212_000}, {"mass", "212g", 212_000}, {"mass", "50 lb", 22_679_619},
		{"mass", "50 lbs.", 22_679_619}, {"mass", "3 lb 4 oz", 1_474_175}, {"mass", "1 oz", 28_350},
		{"mass", "1,250.5 kg", 1_250_500_000}, {"mass", "500 µg", 1}, {"mass", "1 cwt", 45_359_237},
		{"mass", "2 tons", 1_814_369_480}, {"mass", ".5 KG", 500_000}, {"mass", "08/16 lb", 226_796},
		{"length", "7.5 in", 190_500}, {"length", `7.5"`, 190_500}, {"length", "8 ft 2 in", 2_489_200},
		{"length", `8' 2"`, 2_489_200}, {"length", "8′2″", 2_489_200}, {"length", "8’ 2”", 2_489_200},
		{"length", "3/8 in", 9_525}, {"length", "⅜ in", 9_525}, {"length", "8 ft 2 3/8 in", 2_498_725},
		{"length", "8'2-1/2\"", 2_501_900}, {"length", "190.5 mm", 190_500}, {"length", "1 mi", 1_609_344_000},
		{"length", "1,000 ft", 304_800_000}, {"length", "12 feet", 3_657_600}, {"length", "2.49 metres", 2_490_000},
		{"area", "1 ac", 40_468_564}, {"area", "1.2 ha", 120_000_000}, {"area", "1 ft2", 929},
		{"area", "100 sq. ft.", 92_903}, {"area", "0.25 m²", 2_500}, {"area", "1/20 ac", 2_023_428},
		{"volume", "1 bu", 35_239}, {"volume", "1 1/2 bu", 52_859}, {"volume", "1½ bushels", 52_859},
		{"volume", "1 gal", 3_785}, {"volume", "40 litres", 40_000},
		{"rate", "23 lb/ac", 2_577_958}, {"rate", "25 kg/ha", 2_500_000}, {"rate", "2.5 g/m2", 2_500_000},
		{"rate", "8 oz/ac", 56_043}, {"rate", "1/2 lb per acre", 56_043}, {"rate", "5 lb/1,000 ft2", 24_412_138},
		{"rate", "3 lb 4 oz / ac", 364_277}, {"rate", "20 lbs/acre", 2_241_702},
		{"density", "30 seeds/ft2", 322_917}, {"density", "30 per ft²", 322_917}, {"density", "320/m2", 320_000},
		{"density", "1.2 million seeds/ac", 296_526}, {"density", "4.5 plants / sq ft", 48_438},
		{"speed", "5 mph", 8_046_720}, {"speed", "8 km/h", 8_000_000}, {"speed", "88 ft/min", 1_609_344},
		{"dial", "42.5", 42_500}, {"dial", "3 1/2", 3_500}, {"dial", "0", 0},
		{"turns", "20", 20_000}, {"turns", "19.5 turns", 19_500}, {"turns", "12 1/4", 12_250},
		{"reading", "1,234.5", 1_234_500}, {"count", "3 bags", 3_000}, {"count", "1,163,200", 1_163_200_000},
		{"share", "98%", 98_000}, {"share", "98", 98_000}, {"share", "0.5 %", 500}, {"share", "1.5", 1_500},
		{"share", "0", 0}, {"share", "100 percent", 100_000},
		{"money", "14.50", 1_450}, {"money", "$14.50", 1_450}, {"money", "14.5", 1_450}, {"money", "1,450", 145_000},
		{"money", "€ 3", 300}, {"money", "75 cents", 75}, {"money", "12 dollars", 1_200},
	} {
		got, err := parsers[c.kind](c.text)
		if err != nil || got != c.want {
			t.Errorf("%s %q = %d, %v; want %d", c.kind, c.text, got, err, c.want)
		}
	}
}

// parsers are all parsers as one shape, without options.
var parsers = map[string]func(string) (int64, error){
	"mass":    func(s string) (int64, error) { v, err := units.ParseMass(s); return int64(v), err },
	"length":  func(s string) (int64, error) { v, err := units.ParseLength(s); return int64(v), err },
	"area":    func(s string) (int64, error) { v, err := units.ParseArea(s); return int64(v), err },
	"volume":  func(s string) (int64, error) { v, err := units.ParseVolume(s); return int64(v), err },
	"rate":    func(s string) (int64, error) { v, err := units.ParseRate(s); return int64(v), err },
	"density": func(s string) (int64, error) { v, err := units.ParseDensity(s); return int64(v), err },
	"speed":   func(s string) (int64, error) { v, err := units.ParseSpeed(s); return int64(v), err },
	"dial":    func(s string) (int64, error) { v, err := units.ParseDial(s); return int64(v), err },
	"turns":   func(s string) (int64, error) { v, err := units.ParseTurns(s); return int64(v), err },
	"reading": func(s string) (int64, error) { v, err := units.ParseReading(s); return int64(v), err },
	"count":   func(s string) (int64, error) { v, err := units.ParseCount(s); return int64(v), err },
	"share":   func(s string) (int64, error) { v, err := units.ParseShare(s); return int64(v), err },
	"money":   func(s string) (int64, error) { v, err := units.ParseMoney(s); return int64(v), err },
}

func TestParseSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct {
		kind, text, want string
		cause            error
	}{
		{"rate", "23 lb", `"23 lb" is a mass; a rate is wanted, such as 23 lb/ac`, units.ErrUnit},
		{"rate", "23", `"23" has no unit`, units.ErrUnit},
		{"rate", "5 acres", "is an area", units.ErrUnit},
		{"rate", "30 seeds/ft2", "is a density", units.ErrUnit},
		{"rate", "1.5 bu/ac", "depends on the species", units.ErrUnit},
		{"rate", "-3 lb/ac", "is below zero; a rate from 0 to 100,000 kg/ha is wanted", units.ErrRange},
		{"rate", "5 lb/0 ac", "is over no area", units.ErrRange},
		{"rate", "1000000 kg/ha", "is too great", units.ErrRange},
		{"density", "23 lb/ac", "is a rate", units.ErrUnit},
		{"mass", "23 lb/ac", "is a rate", units.ErrUnit},
		{"mass", "7.5 in", "is a length", units.ErrUnit},
		{"mass", "12", "has no unit", units.ErrUnit},
		{"mass", "", "is empty", units.ErrSyntax},
		{"mass", "lb", "has no number", units.ErrSyntax},
		{"mass", "12 stone", `unknown unit "stone" (known: µg, mg`, units.ErrUnit},
		{"mass", "250 µg", "finer than can be kept", units.ErrRange},
		{"mass", "NaN lb", "has no number", units.ErrSyntax},
		{"mass", "1e5 lb", "unknown unit", units.ErrUnit},
		{"mass", "7,5 kg", "comma", units.ErrSyntax},
		{"mass", "1.2.3 kg", "stray", units.ErrSyntax},
		{"mass", "4 oz 3 lb", "large to small", units.ErrSyntax},
		{"mass", strings.Repeat("9", 200) + " g", "longer than 100 bytes", units.ErrSyntax},
		{"mass", strings.Repeat("9", 90) + " g", "too great", units.ErrRange},
		{"length", "50 lb", "is a mass; a length is wanted", units.ErrUnit},
		{"length", "1/0 in", "divides by zero", units.ErrSyntax},
		{"area", "3 ft", "is a length; an area is wanted", units.ErrUnit},
		{"share", "120%", "is too great; a share from 0 to 100 % is wanted", units.ErrRange},
		{"share", "0.98", "fraction or a per cent", units.ErrUnclear},
		{"share", "1", "could be 1 % or 100 %", units.ErrUnclear},
		{"money", "14.505", "finer than one hundredth", units.ErrRange},
		{"money", "$-3", "below zero", units.ErrRange},
		{"dial", "20 lb/ac", "is a rate; a dial setting is wanted", units.ErrUnit},
		{"turns", "-1", "below zero", units.ErrRange},
		{"reading", "12 ac", "is an area", units.ErrUnit},
	} {
		_, err := parsers[c.kind](c.text)
		var detail *units.Error
		if !errors.As(err, &detail) || !errors.Is(err, c.cause) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %q: %v; want %v with %q", c.kind, c.text, err, c.cause, c.want)
		}
	}
}

func TestOptions(t *testing.T) {
	bushel, _ := units.ParseMass("32 lb") // oat, Indiana Code 24-6-1-1
	rate, err := units.ParseRate("1.5 bu/ac", units.Bushel(bushel))
	if want, _ := units.ParseRate("48 lb/ac"); err != nil || rate != want {
		t.Errorf("1.5 bu/ac of oat = %v, %v; want %v", rate, err, want)
	}
	if m, err := units.ParseMass("2 bushels", units.Bushel(bushel)); err != nil || m != 2*bushel {
		t.Errorf("2 bushels of oat = %v, %v", m, err)
	}
	if r, err := units.ParseRate("25", units.Bare("kg/ha")); err != nil || r != 2_500_000 {
		t.Errorf("bare 25 in kg/ha = %v, %v", r, err)
	}
	if d, err := units.ParseDensity("30", units.Bare("/ft2")); err != nil || d != 322_917 {
		t.Errorf("bare 30 in /ft2 = %v, %v", d, err)
	}
	if l, err := units.ParseLength("7.5", units.Bare("in")); err != nil || l != 190_500 {
		t.Errorf("bare 7.5 in inches = %v, %v", l, err)
	}
	if s, err := units.ParseShare("0.98", units.Fraction()); err != nil || s != 98_000 {
		t.Errorf("0.98 as a fraction = %v, %v", s, err)
	}
	for _, text := range []string{"1", "1.0", "1.00"} {
		if s, err := units.ParseShare(text, units.Fraction()); !errors.Is(err, units.ErrUnclear) {
			t.Errorf("%s as a fraction = %v, %v; it could be 1 %% or 100 %%", text, s, err)
		}
	}
	if s, err := units.ParseShare("0.5%", units.Fraction()); err != nil || s != 500 {
		t.Errorf("0.5%% with its sign = %v, %v", s, err)
	}
	if m, err := units.ParseMass("0.0905 g", units.Times(1000)); err != nil || m != 90_500 {
		t.Errorf("a million seeds at 0.0905 g the thousand = %v, %v", m, err)
	}
	if s, err := units.ParseSystem("Metric"); err != nil || s != units.Metric || s.String() != "metric" {
		t.Errorf("Metric = %v, %v", s, err)
	}
	if _, err := units.ParseSystem("imperial"); !errors.Is(err, units.ErrSyntax) {
		t.Errorf("imperial: %v", err)
	}
}
