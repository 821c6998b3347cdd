package units_test

import (
	"testing"

	"turnrow/sync/units"
)

// What is worked out has two figures, and whole pounds where it has more.
func TestAboutHasTwoFigures(t *testing.T) {
	for _, c := range []struct {
		written, us, metric string
	}{
		{"385.4 lb", "385 lb", "175 kg"}, {"12.61 lb", "13 lb", "5.7 kg"}, {"1.26 lb", "1.3 lb", "572 g"}, {"0.416 oz", "0.42 oz", "12 g"}, {"0 lb", "0 oz", "0 g"},
	} {
		m, err := units.ParseMass(c.written)
		if err != nil {
			t.Fatal(err)
		}
		if us, metric := m.About(units.US), m.About(units.Metric); us != c.us || metric != c.metric {
			t.Errorf("about %s: %s, %s; want %s, %s", c.written, us, metric, c.us, c.metric)
		}
	}
	for _, c := range []struct {
		written, us, metric string
	}{
		{"0.4666 ac", "0.47 ac", "0.19 ha"}, {"12.34 ac", "12.3 ac", "5 ha"}, {"3.456 ac", "3.5 ac", "1.4 ha"},
	} {
		a, err := units.ParseArea(c.written)
		if err != nil {
			t.Fatal(err)
		}
		if us, metric := a.About(units.US), a.About(units.Metric); us != c.us || metric != c.metric {
			t.Errorf("about %s: %s, %s; want %s, %s", c.written, us, metric, c.us, c.metric)
		}
	}
}

// An answer is read to three figures, to two below one, in the unit that Format
// gives.
func TestReadHasThreeFigures(t *testing.T) {
	for written, want := range map[string][2]string{
		"816.33 lb": {"816 lb", "370 kg"}, "3.4523 oz": {"3.45 oz", "97.9 g"}, "0.02755 oz": {"0.028 oz", "0.78 g"}, "1234.56 lb": {"1,235 lb", "560 kg"}, "0 lb": {"0 oz", "0 g"},
	} {
		m, err := units.ParseMass(written)
		if err != nil {
			t.Fatal(err)
		}
		if us, metric := m.Read(units.US), m.Read(units.Metric); us != want[0] || metric != want[1] {
			t.Errorf("%s reads %s, %s; want %s", written, us, metric, want)
		}
	}
	for written, want := range map[string][2]string{
		"0.1125 ac": {"0.11 ac", "0.046 ha"}, "408.33 ft2": {"408 ft2", "37.9 m2"}, "12.345 ac": {"12.3 ac", "5 ha"},
	} {
		a, err := units.ParseArea(written)
		if err != nil {
			t.Fatal(err)
		}
		if us, metric := a.Read(units.US), a.Read(units.Metric); us != want[0] || metric != want[1] {
			t.Errorf("%s reads %s, %s; want %s", written, us, metric, want)
		}
	}
}
