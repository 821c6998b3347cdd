package units_test

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

// What people write on tags, charts and phones, each beside the plain form
// that it must be worth.
func TestWrittenAsPeopleDo(t *testing.T) {
	for _, c := range []struct{ kind, text, same string }{
		{"rate", "23 lb/A", "23 lb/ac"}, {"rate", "23 lb/a", "23 lb/ac"}, {"rate", "23 lbs./A.", "23 lb/ac"},
		{"rate", "23 lb per A", "23 lb/ac"}, {"rate", "23 LB PER ACRE", "23 lb/ac"}, {"rate", "8oz/A", "8 oz/ac"},
		{"rate", "5#/ac", "5 lb/ac"}, {"rate", "5#/A", "5 lb/ac"}, {"rate", "1lb3oz/ac", "1 lb 3 oz/ac"},
		{"rate", "12 grammes/m2", "12 g/m2"}, {"rate", "5 lb/1000ft2", "5 lb/1,000 ft2"},
		{"rate", "23 lb bulk/ac", "23 lb/ac"}, {"rate", "23 lb of seed/ac", "23 lb/ac"},
		{"rate", "0.4 bu/ac at 32 lb/bu", "12.8 lb/ac"}, {"rate", "1 1/2 bu/A @ 32 lb", "48 lb/ac"},
		{"area", "1.5 A", "1.5 ac"}, {"area", "1.5A", "1.5 ac"}, {"area", "⅙ A", "1/6 ac"}, {"area", "2⅚ ac", "2 5/6 ac"},
		{"area", "3 ft2", "3 sq ft"}, {"area", "9ft2", "9 ft2"},
		{"mass", "5#", "5 lb"}, {"mass", "5 #", "5 lb"}, {"mass", "3# 4oz", "3 lb 4 oz"}, {"mass", "1lb3oz", "1 lb 3 oz"},
		{"mass", "1lb 3.5oz", "1 lb 3.5 oz"}, {"mass", "3 lb, 4 oz", "3 lb 4 oz"}, {"mass", "1 lb-3 oz", "1 lb 3 oz"},
		{"mass", "212 grammes", "212 g"}, {"mass", "1 gramme", "1 g"}, {"mass", "2 kilogrammes", "2 kg"},
		{"mass", "50-lb", "50 lb"}, {"mass", "50-pound", "50 lb"}, {"mass", "2 bu at 32 lb/bu", "64 lb"},
		{"mass", "⅐ lb", "1/7 lb"}, {"mass", "⅑ lb", "1/9 lb"}, {"mass", "⅒ lb", "1/10 lb"}, {"mass", "3⅕ oz", "3 1/5 oz"},
		{"mass", "⅖ kg", "2/5 kg"}, {"mass", "⅗ kg", "3/5 kg"}, {"mass", "⅘ kg", "4/5 kg"},
		{"length", "8ft2in", "8 ft 2 in"}, {"length", "8ft2.5in", "8 ft 2.5 in"}, {"length", "8ft11in", "8 ft 11 in"},
		{"length", "8FT2IN", "8 ft 2 in"}, {"length", "8'2\"", "8 ft 2 in"}, {"length", "8'-2\"", "8 ft 2 in"},
		{"length", "8 ft-2 in", "8 ft 2 in"}, {"length", "8-foot-2-inch", "8 ft 2 in"}, {"length", "8ft 2-1/2in", "8 ft 2.5 in"},
		{"length", "7.5-inch", "7.5 in"}, {"length", "7 1/2-inch", "7.5 in"}, {"length", "7-1/2-in.", "7.5 in"},
		{"length", "7.5\u2011inch", "7.5 in"}, {"length", "1m50cm", "1.5 m"}, {"length", "⅙ in", "1/6 in"},
		{"count", "220k", "220,000"}, {"count", "220 K", "220,000"}, {"count", "1.5k seeds", "1,500"},
		{"density", "220k/ac", "220,000/ac"}, {"density", "20 PLS/ft2", "20/ft2"}, {"density", "30 seeds/sq. ft", "30/ft2"},
		{"volume", "6 cups", "3 pt"}, {"volume", "1qt1cup", "1.25 qt"}, {"volume", "1bu2pk", "1.5 bu"},
		{"speed", "5 MPH", "5 mph"}, {"share", "98 PCT", "98%"}, {"money", "14 USD", "14.00"},
	} {
		got, err := parsers[c.kind](c.text)
		want, bad := parsers[c.kind](c.same)
		if err != nil || bad != nil || got != want {
			t.Errorf("%s %q = %d, %v; want %q, which is %d, %v", c.kind, c.text, got, err, c.same, want, bad)
		}
	}
}

func TestWrittenUnclearly(t *testing.T) {
	for _, c := range []struct {
		kind, text, want string
		cause            error
	}{
		{"area", "1.5 a", "could be acres (ac) or ares of 100 m2", units.ErrUnclear},
		{"rate", "2 kg/a", "could be acres (ac) or ares of 100 m2", units.ErrUnclear},
		{"density", "30 seeds/a", "could be acres", units.ErrUnclear},
		{"rate", "23 lb PLS/ac", `is pure live seed, of which the bulk seed that carries it holds only a part (bulk = live ÷ live share); a rate of bulk seed is wanted`, units.ErrUnit},
		{"rate", "23 PLS lb/ac", "a rate of bulk seed is wanted", units.ErrUnit},
		{"rate", "23 lb/ac PLS", "a rate of bulk seed is wanted", units.ErrUnit},
		{"rate", "23 lb of live seed / A", "a rate of bulk seed is wanted", units.ErrUnit},
		{"mass", "50 lb PLS", "a mass of bulk seed is wanted", units.ErrUnit},
		{"mass", "0.4 bu", "(what a bushel of it weighs may be written beside it: 0.4 bu at 32 lb/bu)", units.ErrUnit},
		{"mass", "0.4 bu at a guess", `no weight of a bushel after "at"`, units.ErrSyntax},
		{"mass", "0.4 bu at 0 lb", `no weight of a bushel after "at"`, units.ErrSyntax},
		{"rate", "20-25 lb/ac", "is a range, not one figure", units.ErrSyntax},
		{"length", "8 ft2", "is an area", units.ErrUnit}, {"length", "8ft2", "is an area", units.ErrUnit},
		{"length", "8 ft -2 in", "minus sign inside", units.ErrSyntax},
		{"length", "9ft11", `unknown unit "ft11"`, units.ErrUnit},
		{"count", "220M", "could be thousands or millions", units.ErrUnclear}, {"density", "1.2 M/ac", "thousands or millions", units.ErrUnclear},
		{"mass", "7,5 kg", "a decimal is written 7.5", units.ErrSyntax},
		{"mass", "1.234,5 kg", "stray points or commas", units.ErrSyntax},
	} {
		_, err := parsers[c.kind](c.text)
		if !errors.Is(err, c.cause) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %q: %v; want %v with %q", c.kind, c.text, err, c.cause, c.want)
		}
	}
}

// A field of live seed takes what says that it is, and what says nothing.
func TestLiveRates(t *testing.T) {
	want, _ := units.ParseRate("23 lb/ac")
	for _, text := range []string{"23 lb PLS/ac", "23 lb pls / A", "23 PLS lb/ac", "23 lb/ac PLS", "23 lb of pure live seed per acre",
		"23 lb live/ac", "23 lb/ac"} {
		if got, err := units.ParseRate(text, units.Live()); err != nil || got != want {
			t.Errorf("%q = %v, %v", text, got, err)
		}
	}
	if _, err := units.ParseRate("23 lb bulk/ac", units.Live()); !errors.Is(err, units.ErrUnit) ||
		!strings.Contains(err.Error(), "a rate of live seed is wanted") {
		t.Errorf("bulk seed in a field of live seed: %v", err)
	}
	if got, err := units.ParseRate("23", units.Live(), units.Bare("lb/ac")); err != nil || got != want {
		t.Errorf("a bare 23 = %v, %v", got, err)
	}
}

func TestDecimalCommas(t *testing.T) {
	for _, c := range []struct{ text, same string }{
		{"7,5 kg", "7.5 kg"}, {"0,500 kg", "0.5 kg"}, {"0,5 kg", "0.5 kg"}, {",5 kg", "0.5 kg"}, {"1234,567 kg", "1234.567 kg"},
		{"1,2345 kg", "1.2345 kg"}, {"1,234.5 kg", "1234.5 kg"}, {"1,234,567 g", "1234567 g"}, {"3 lb 4,5 oz", "3 lb 4.5 oz"},
		{"3 lb, 4 oz", "3 lb 4 oz"}, {"12 kg", "12 kg"}, {"7.5 kg", "7.5 kg"}, {"1 1/2 lb", "1.5 lb"},
	} {
		got, err := units.ParseMass(c.text, units.DecimalComma())
		want, bad := units.ParseMass(c.same)
		if err != nil || bad != nil || got != want {
			t.Errorf("%q = %v, %v; want %q", c.text, got, err, c.same)
		}
	}
	_, err := units.ParseMass("1,234 kg", units.DecimalComma())
	if !errors.Is(err, units.ErrUnclear) || !strings.Contains(err.Error(), `could be 1234 or 1.234 (write it without a comma)`) {
		t.Errorf("1,234 kg: %v", err)
	}
	if _, err := units.ParseMass("1,23,4 kg", units.DecimalComma()); !errors.Is(err, units.ErrSyntax) {
		t.Errorf("1,23,4 kg: %v", err)
	}
}

// An exact text with its point made a comma is worth the same, or is refused
// where the comma could part thousands: never worth anything else.
func TestDecimalCommaIsNeverGuessed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := units.Mass(rapid.Int64Range(0, 1e13).Draw(t, "mg"))
		text := strings.Replace(m.String(), ".", ",", 1)
		got, err := units.ParseMass(text, units.DecimalComma())
		if err == nil && got == m {
			return
		}
		_, plainErr := units.ParseMass(text)
		if !errors.Is(err, units.ErrUnclear) || plainErr != nil {
			t.Fatalf("%q = %v, %v; want %v, or unclear where commas could part thousands (%v)", text, got, err, m, plainErr)
		}
	})
}

// With all options at once a parser never panics, and takes no text without a
// comma for anything else than without them.
func FuzzOptions(f *testing.F) {
	for _, s := range append(seeds, "7,5 kg", "1,234 lb", "23 lb PLS/ac", "5#/A", "8ft2in", "0.4 bu/ac at 36 lb/bu", "⅙ A", "1.5 a", "20-25 lb/ac") {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		mass, err := units.ParseMass(text, units.DecimalComma(), units.Bushel(1))
		plain, bad := units.ParseMass(text, units.Bushel(1))
		if !strings.Contains(text, ",") && ((err == nil) != (bad == nil) || mass != plain) {
			t.Fatalf("%q is %v, %v with decimal commas and %v, %v without", text, mass, err, plain, bad)
		}
		live, err := units.ParseRate(text, units.DecimalComma(), units.Live())
		bulk, bad := units.ParseRate(text, units.DecimalComma())
		if err == nil && bad == nil && live != bulk {
			t.Fatalf("%q is %v live and %v bulk", text, live, bulk)
		}
		if s, err := units.ParseShare(text, units.Fraction(), units.DecimalComma()); err == nil && (s < 0 || s > units.Whole) {
			t.Fatalf("%q is %v", text, s)
		}
	})
}
