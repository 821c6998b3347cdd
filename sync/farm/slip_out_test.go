package farm_test

import (
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// A question about what was let out names it in the units that it was written
// in, and so does what is offered instead.
func TestADrainIsAskedAboutInItsOwnUnits(t *testing.T) {
	kilogram, pounds := units.Mass(1_000_000), units.Mass(90_718_474) // 200 lb
	var inOunces units.In
	if _, err := units.ParseMass("1600 oz", units.KeepIn(&inOunces)); err != nil {
		t.Fatal(err)
	}
	for _, d := range []struct {
		mass          units.Mass
		in            units.In
		says, offered string
	}{
		{100 * kilogram, units.InKilograms, "100 kg let out", "10 kg"},
		{pounds, inOunces, "3,200 oz let out", "320 oz"},
		{pounds, units.InPounds, "200 lb let out", "20 lb"},
	} {
		c := setUp(t)
		c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Mass: 20 * kilogram})
		got := c.own.asks(farm.OverDrained, &entry.Drained{Box: c.grain, Mass: d.mass, MassIn: d.in})
		if !strings.HasPrefix(got.Why, d.says) {
			t.Errorf("asked %q, want %q", got.Why, d.says)
		}
		instead(t, got, d.offered+" (a point left out)")
	}
}
