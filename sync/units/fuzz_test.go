package units_test

import (
	"testing"

	"turnrow/sync/units"
)

// seeds are texts of every shape, right and wrong, for all the fuzz targets.
var seeds = []string{
	"", " ", "-", "/", ".", ",", "1", "0", "-1", "1,000", "1,00", "1.5.2", "3/8", "1/0", "1 1/2", "½", "1-1/2 bu",
	"212 g", "50 lb", "3 lb 4 oz", "8' 2\"", "8 ft 2 in", "7.5 in", "1.2 ha", "1/20 ac", "23 lb/ac", "25 kg/ha",
	"5 lb/1,000 ft2", "8 oz per acre", "30 seeds/ft2", "1.2 million/ac", "98%", "0.98", "$14.50", "14.505", "5 mph",
	"µg", "1 µg", "NaN", "Inf", "1e9 lb", "99999999999999999999 lb", "08/08 lb", "1/ft2", "1//ft2", "1 lb/ac/ac", "\xff\xfe", "1 per per",
	"23 lb/A", "1.5 a", "5#", "8ft2in", "1lb3oz", "7.5-inch", "220k", "220M", "⅙", "23 lb PLS/ac", "0.4 bu/ac at 36 lb/bu", "1 bu @", "7,5 kg", "8'-2\"", "1-", "1-a", "#", "1,a",
}

// fuzz checks that a parser never panics, and that what it accepts is in range
// and reads back as the same value from its exact text.
func fuzz(f *testing.F, name string, write func(int64) string) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, err := parsers[name](text)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		if v < 0 {
			t.Fatalf("%q gave %d", text, v)
		}
		if back, err := parsers[name](write(v)); err != nil || back != v {
			t.Fatalf("%q is %d, written %q, read %d, %v", text, v, write(v), back, err)
		}
	})
}

func FuzzParseMass(f *testing.F) {
	fuzz(f, "mass", func(v int64) string { return units.Mass(v).String() })
}
func FuzzParseLength(f *testing.F) {
	fuzz(f, "length", func(v int64) string { return units.Length(v).String() })
}
func FuzzParseArea(f *testing.F) {
	fuzz(f, "area", func(v int64) string { return units.Area(v).String() })
}
func FuzzParseVolume(f *testing.F) {
	fuzz(f, "volume", func(v int64) string { return units.Volume(v).String() })
}
func FuzzParseRate(f *testing.F) {
	fuzz(f, "rate", func(v int64) string { return units.RatePerArea(v).String() })
}
func FuzzParseDensity(f *testing.F) {
	fuzz(f, "density", func(v int64) string { return units.Density(v).String() })
}
func FuzzParseSpeed(f *testing.F) {
	fuzz(f, "speed", func(v int64) string { return units.Speed(v).String() })
}
func FuzzParseDial(f *testing.F) {
	fuzz(f, "dial", func(v int64) string { return units.Dial(v).String() })
}
func FuzzParseTurns(f *testing.F) {
	fuzz(f, "turns", func(v int64) string { return units.Turns(v).String() })
}
func FuzzParseReading(f *testing.F) {
	fuzz(f, "reading", func(v int64) string { return units.Reading(v).String() })
}
func FuzzParseCount(f *testing.F) {
	fuzz(f, "count", func(v int64) string { return units.Count(v).String() })
}
func FuzzParseShare(f *testing.F) {
	fuzz(f, "share", func(v int64) string { return units.Share(v).String() })
}
func FuzzParseMoney(f *testing.F) {
	fuzz(f, "money", func(v int64) string { return units.Money(v).String() })
}
