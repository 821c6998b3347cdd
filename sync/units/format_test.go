package units_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

func TestFormat(t *testing.T) {
	mass := func(s string) units.Mass { v, _ := units.ParseMass(s); return v }
	length := func(s string) units.Length { v, _ := units.ParseLength(s); return v }
	area := func(s string) units.Area { v, _ := units.ParseArea(s); return v }
	rate := func(s string) units.RatePerArea { v, _ := units.ParseRate(s); return v }
	density := func(s string) units.Density { v, _ := units.ParseDensity(s); return v }
	volume := func(s string) units.Volume { v, _ := units.ParseVolume(s); return v }
	speed := func(s string) units.Speed { v, _ := units.ParseSpeed(s); return v }
	for _, c := range []struct{ got, want string }{
		{mass("50 lb").Format(units.US), "50 lb"}, {mass("50 lb").Format(units.Metric), "22.68 kg"},
		{mass("2 oz").Format(units.US), "2 oz"}, {mass("212 g").Format(units.Metric), "212 g"},
		{mass("212 g").Format(units.US), "7.478 oz"}, {mass("12345.6 lb").Format(units.US), "12,346 lb"},
		{mass("8.04 g").FormatGrams(), "8.04 g"}, {mass("212 g").String(), "212 g"}, {mass("50 lb").String(), "22.679619 kg"},
		{length("8 ft 2 in").Format(units.US), "8 ft 2 in"}, {length("7.5 in").Format(units.US), "7.5 in"},
		{length("11.996 ft").Format(units.US), "12 ft"}, {length("145.2 ft").Format(units.US), "145.2 ft"},
		{length("7.5 in").Format(units.Metric), "190.5 mm"}, {length("8 ft 2 in").Format(units.Metric), "2.489 m"},
		{area("7.5 ac").Format(units.US), "7.5 ac"}, {area("7.5 ac").Format(units.Metric), "3.035 ha"},
		{area("100 ft2").Format(units.US), "100 ft2"}, {area("100 ft2").Format(units.Metric), "9.29 m2"},
		{rate("23 lb/ac").Format(units.US), "23 lb/ac"}, {rate("23 lb/ac").Format(units.Metric), "25.8 kg/ha"},
		{rate("0.78 lb/ac").Format(units.US), "0.78 lb/ac"}, {rate("120.4 lb/ac").Format(units.US), "120 lb/ac"},
		{density("30 seeds/ft2").Format(units.US), "30 /ft2"}, {density("30 seeds/ft2").Format(units.Metric), "323 /m2"},
		{volume("1 1/2 bu").Format(units.US), "1.5 bu"}, {volume("1 1/2 bu").Format(units.Metric), "52.86 l"},
		{speed("5 mph").Format(units.US), "5 mph"}, {speed("5 mph").Format(units.Metric), "8.05 km/h"},
		{units.Money(145_050).Format("$"), "$1,450.50"}, {units.Money(-5).Format("$"), "-$0.05"},
		{units.Share(98_500).String(), "98.5%"}, {units.Dial(-500).String(), "-0.5"}, {units.Mass(0).Format(units.US), "0 oz"},
		{units.Count(math.MinInt64).String(), "-9223372036854775.808"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// What String writes reads back as the very same value.
func TestStringReadsBack(t *testing.T) {
	writers := map[string]func(int64) string{
		"mass": func(v int64) string { return units.Mass(v).String() }, "length": func(v int64) string { return units.Length(v).String() },
		"area": func(v int64) string { return units.Area(v).String() }, "volume": func(v int64) string { return units.Volume(v).String() },
		"rate": func(v int64) string { return units.RatePerArea(v).String() }, "density": func(v int64) string { return units.Density(v).String() },
		"speed": func(v int64) string { return units.Speed(v).String() }, "dial": func(v int64) string { return units.Dial(v).String() },
		"turns": func(v int64) string { return units.Turns(v).String() }, "reading": func(v int64) string { return units.Reading(v).String() },
		"count": func(v int64) string { return units.Count(v).String() }, "share": func(v int64) string { return units.Share(v).String() },
		"money": func(v int64) string { return units.Money(v).String() },
	}
	most := map[string]int64{"share": 100_000, "speed": 1e9, "dial": 1e9}
	for name, write := range writers {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				limit := most[name]
				if limit == 0 {
					limit = 1e10
				}
				v := rapid.Int64Range(0, limit).Draw(t, "v")
				if got, err := parsers[name](write(v)); err != nil || got != v {
					t.Fatalf("%d written as %q reads as %d, %v", v, write(v), got, err)
				}
			})
		})
	}
}

// What Format writes reads back to within its rounding: half a unit in the
// third or fourth significant figure, or a twentieth of an inch.
func TestFormatReadsBackNearly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Int64Range(10_000, 9e9).Draw(t, "v")
		for _, s := range []units.System{units.US, units.Metric} {
			for name, text := range map[string]string{
				"mass": units.Mass(v).Format(s), "area": units.Area(v).Format(s), "volume": units.Volume(v).Format(s),
				"length": units.Length(v).Format(s), "rate": units.RatePerArea(v).Format(s), "density": units.Density(v).Format(s),
			} {
				got, err := parsers[name](text)
				if err != nil || math.Abs(float64(got-v)) > 1280+float64(v)/198 {
					t.Fatalf("%s %d written as %q reads as %d, %v", name, v, text, got, err)
				}
			}
		}
	})
}

// Scaling to US units and back changes nothing, and each pair of accessor and
// constructor agrees.
func TestFloatsAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Int64Range(0, 1e10).Draw(t, "v")
		pairs := map[string]func() (int64, error){
			"lb": func() (int64, error) { x, err := units.MassFromPounds(units.Mass(v).Pounds()); return int64(x), err },
			"g":  func() (int64, error) { x, err := units.MassFromGrams(units.Mass(v).Grams()); return int64(x), err },
			"m": func() (int64, error) {
				x, err := units.LengthFromMetres(units.Length(v).Metres())
				return int64(x), err
			},
			"ac": func() (int64, error) { x, err := units.AreaFromAcres(units.Area(v).Acres()); return int64(x), err },
			"ha": func() (int64, error) {
				x, err := units.AreaFromHectares(units.Area(v).Hectares())
				return int64(x), err
			},
			"m2": func() (int64, error) {
				x, err := units.AreaFromSquareMetres(units.Area(v).SquareMetres())
				return int64(x), err
			},
			"lb/ac": func() (int64, error) {
				x, err := units.RateFromLbPerAcre(units.RatePerArea(v).LbPerAcre())
				return int64(x), err
			},
			"g/m2": func() (int64, error) {
				x, err := units.RateFromGramsPerSquareMetre(units.RatePerArea(v).GramsPerSquareMetre())
				return int64(x), err
			},
			"/ft2": func() (int64, error) {
				x, err := units.DensityFromSquareFoot(units.Density(v).PerSquareFoot())
				return int64(x), err
			},
			"/m2": func() (int64, error) {
				x, err := units.DensityFromSquareMetre(units.Density(v).PerSquareMetre())
				return int64(x), err
			},
			"turns": func() (int64, error) { x, err := units.TurnsFromFloat(units.Turns(v).Float()); return int64(x), err },
		}
		for unit, there := range pairs {
			if got, err := there(); err != nil || got != v {
				t.Fatalf("%d through %s is %d, %v", v, unit, got, err)
			}
		}
	})
}

func TestFloatsOutOfRange(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		_, err := units.RateFromLbPerAcre(x)
		var detail *units.Error
		if !errors.As(err, &detail) || !errors.Is(err, units.ErrRange) || detail.Quantity != "rate" {
			t.Errorf("%v lb/ac: %v", x, err)
		}
	}
	if _, err := units.ShareFromFraction(1.01); !errors.Is(err, units.ErrRange) {
		t.Errorf("a share of 1.01: %v", err)
	}
	if _, err := units.DialFromFloat(2e6); !errors.Is(err, units.ErrRange) {
		t.Errorf("a dial of 2,000,000: %v", err)
	}
}

// The World Factbook and NIST SP 811 figures for the acre and the bushel.
func TestPublishedDefinitions(t *testing.T) {
	acre, _ := units.ParseArea("1 ac")
	if got := acre.SquareFeet(); math.Abs(got-43_560) > 0.001 {
		t.Errorf("an acre is %v ft2, want 43,560", got)
	}
	bushel, _ := units.ParseVolume("1 bu")
	if got := bushel.Litres(); math.Abs(got-35.23907) > 0.0005 {
		t.Errorf("a bushel is %v l, want 35.23907", got)
	}
	if got := bushel.Bushels(); math.Abs(got-1) > 1e-5 {
		t.Errorf("a bushel is %v bu", got)
	}
	kg, _ := units.ParseRate("1 kg/ha")
	if got := kg.LbPerAcre(); math.Abs(got-0.89217912162) > 1e-10 {
		t.Errorf("1 kg/ha is %v lb/ac, want 0.89217912162", got)
	}
	mph, _ := units.ParseSpeed("1 mph")
	if ftMin, _ := units.ParseSpeed("88 ft/min"); mph != ftMin || mph.MilesPerHour() != 1 {
		t.Errorf("1 mph is %v, 88 ft/min is %v", mph, ftMin)
	}
}
