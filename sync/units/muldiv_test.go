package units_test

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

func TestMulDivRoundsHalfAwayFromZero(t *testing.T) {
	for _, c := range []struct{ a, b, c, want int64 }{
		{7, 1, 2, 4}, {-7, 1, 2, -4}, {7, -1, -2, 4}, {5, 1, 4, 1}, {-5, 1, 4, -1},
		{math.MaxInt64, math.MaxInt64, math.MaxInt64, math.MaxInt64},
		{math.MinInt64, 1, 1, math.MinInt64}, {math.MinInt64, math.MinInt64, math.MinInt64, math.MinInt64},
		{0, math.MinInt64, 3, 0}, {1, 1, math.MinInt64, 0}, {1 << 62, 1, math.MinInt64, -1},
	} {
		if got, err := units.MulDiv(c.a, c.b, c.c); err != nil || got != c.want {
			t.Errorf("%d × %d ÷ %d = %d, %v; want %d", c.a, c.b, c.c, got, err, c.want)
		}
	}
	if _, err := units.MulDiv(1, 1, 0); err == nil {
		t.Error("division by zero passed")
	}
}

// The referee is math/big.
func TestMulDivAgreesWithBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := rapid.Int64().Draw(t, "a"), rapid.Int64().Draw(t, "b"), rapid.Int64().Draw(t, "c")
		if c == 0 {
			t.Skip("no divisor")
		}
		x := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(a), big.NewInt(b)), big.NewInt(c))
		want, _ := new(big.Int).SetString(x.FloatString(0), 10) // rounds half away from zero
		got, err := units.MulDiv(a, b, c)
		if want.IsInt64() != (err == nil) || err == nil && got != want.Int64() {
			t.Fatalf("%d × %d ÷ %d = %d, %v; want %s", a, b, c, got, err, want)
		}
		if err != nil && !errors.Is(err, units.ErrOverflow) {
			t.Fatalf("%v is not ErrOverflow", err)
		}
	})
}

func TestRateTimesAreaIsMass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		area := units.Area(rapid.Int64Range(40_468_564, 1e12).Draw(t, "area")) // from one acre
		rate := units.RatePerArea(rapid.Int64Range(50_000, 1e8).Draw(t, "rate"))
		mass, err := rate.On(area)
		if err != nil {
			t.Fatal(err)
		}
		back, err := mass.Over(area)
		if err != nil || math.Abs(float64(back-rate)) > 1 {
			t.Fatalf("%v on %v is %v, which over it is %v, %v", rate, area, mass, back, err)
		}
		covered, err := mass.At(rate)
		if err != nil || math.Abs(float64(covered-area)) > 1+float64(area)/2e5 {
			t.Fatalf("%v at %v covers %v of %v, %v", mass, rate, covered, area, err)
		}
	})
	if m, _ := units.Share(25_000).OfMass(1000); m != 250 {
		t.Errorf("a quarter of 1 g = %v", m)
	}
	if r, _ := units.Share(50_000).OfRate(3); r != 2 {
		t.Errorf("half of 3 µg/m² = %d, want 2 (half away from zero)", r)
	}
	if m, _ := units.Mass(22_679_619).Times(2500); m != 56_699_048 {
		t.Errorf("two and a half bags = %d", m)
	}
	if _, err := units.Mass(1).Over(0); err == nil {
		t.Error("a mass over no area passed")
	}
}
