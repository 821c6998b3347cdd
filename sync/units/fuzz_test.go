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

// writers write each parser's value exactly.
var writers = map[string]func(int64) string{
	"mass":    func(v int64) string { return units.Mass(v).String() },
	"length":  func(v int64) string { return units.Length(v).String() },
	"area":    func(v int64) string { return units.Area(v).String() },
	"volume":  func(v int64) string { return units.Volume(v).String() },
	"rate":    func(v int64) string { return units.RatePerArea(v).String() },
	"density": func(v int64) string { return units.Density(v).String() },
	"speed":   func(v int64) string { return units.Speed(v).String() },
	"dial":    func(v int64) string { return units.Dial(v).String() },
	"turns":   func(v int64) string { return units.Turns(v).String() },
	"reading": func(v int64) string { return units.Reading(v).String() },
	"count":   func(v int64) string { return units.Count(v).String() },
	"share":   func(v int64) string { return units.Share(v).String() },
	"money":   func(v int64) string { return units.Money(v).String() },
}

// FuzzParsers checks that no parser panics, and that what one accepts is in
// range and reads back as the same value from its exact text.
func FuzzParsers(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	if len(writers) != len(parsers) {
		f.Fatalf("%d parsers, %d of them here", len(parsers), len(writers))
	}
	f.Fuzz(func(t *testing.T, text string) {
		for name, parse := range parsers {
			v, err := parse(text)
			if err == nil {
				sameAgain(t, name, text, v)
			} else if err.Error() == "" {
				t.Error("an error without words")
			}
		}
	})
}

func sameAgain(t *testing.T, name, text string, v int64) {
	if v < 0 {
		t.Fatalf("%s: %q gave %d", name, text, v)
	}
	written := writers[name](v)
	if back, err := parsers[name](written); err != nil || back != v {
		t.Fatalf("%s: %q is %d, written %q, read %d, %v", name, text, v, written, back, err)
	}
}
