package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
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
		mass units.Mass
		in   units.In
	}{
		{100 * kilogram, units.InKilograms},
		{pounds, inOunces},
		{pounds, units.InPounds},
	} {
		c := setUp(t)
		c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Mass: 20 * kilogram})
		got := c.own.asks(farm.OverDrained, &entry.Drained{Box: c.grain, Mass: d.mass, MassIn: d.in})
		if got.Why.ID != "slip.over-drained" || got.Why.Args[0] != message.MassAs(d.mass, d.in) {
			t.Errorf("asked %#v, want %v in units %d", got.Why, d.mass, d.in)
		}
		instead(t, got, offer(message.MassAs(d.mass/10, d.in), "how.point-left-out"))
	}
}
