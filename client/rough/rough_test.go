package rough

import (
	"math"
	"testing"

	"turnrow/sync/units"
)

// Ends of a range go outwards, but no step further for a last digit; small
// figures keep finer steps.
func TestRoundedAsShown(t *testing.T) {
	ac := func(x float64) units.Area { a, _ := units.AreaFromAcres(x); return a }
	lb := func(x float64) units.Mass { m, _ := units.MassFromPounds(x); return m }
	us := units.US
	for _, c := range []struct{ got, want string }{
		{AreaEnd(ac(1.25), us, math.Floor).Format(us), "1.2 ac"}, {AreaEnd(ac(1.25), us, math.Ceil).Format(us), "1.3 ac"},
		{AreaEnd(ac(1.2), us, math.Ceil).Format(us), "1.2 ac"}, {AreaEnd(ac(1.2), us, math.Floor).Format(us), "1.2 ac"},
		{Area(ac(7.531), us).Format(us), "7.5 ac"}, {Area(ac(0.7531), us).Format(us), "0.75 ac"},
		{AreaTenths(ac(3), us, math.Round), "3.0 ac"}, {AreaTenths(0, units.Metric, math.Round), "0.0 ha"}, {Counted(ac(7.5314)).Format(us), "7.53 ac"},
		{Mass(lb(43.61), us, math.Floor).Format(us), "43 lb"}, {Mass(lb(4.361), us, math.Ceil).Format(us), "4.4 lb"},
		{Poured(lb(43.61), us), "43.6 lb"}, {Poured(0, us), "none"}, {Dial(41_960), "42"},
	} {
		if c.got != c.want {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
	if Percent(0.1551) != 16 || Percent(-0.005) != -1 {
		t.Error(Percent(0.1551), Percent(-0.005))
	}
}
