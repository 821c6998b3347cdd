package rate

import (
	"math"
	"testing"

	"turnrow/sync/units"
)

// Whatever is written down of a box, its books answer or refuse: no panic, no
// mass below nothing, no compartment that runs dry later in the worse case.
func FuzzSeedIn(f *testing.F) {
	f.Add(8, 8, 1, -1, int64(20e6), int64(1e5), int64(1e8), int64(2e6), int64(5000), 0.1, 9.0)
	f.Add(1, 1000, 5, 1, int64(1e15), int64(1e15), int64(1e15), int64(1e10), int64(units.Whole), 0.5, 1.0)
	f.Fuzz(func(t *testing.T, a, b, kind, side int, mass, std, area, rate, rateVar int64, relative, freedom float64) {
		e := BoxEvent{Kind: EventKind(kind), Side: side, Lot: "O-1", Mass: units.Mass(mass), Std: units.Mass(std),
			Area: units.Area(area), Rate: units.RatePerArea(rate), RateSpread: Spread{float64(rateVar), 5}}
		sown, read := e, e
		sown.Kind, read.Kind = Sown, LevelRead
		s, err := SeedIn([]int{a, b}, []BoxEvent{e, pour(AllSides, "O-2", 5*kilogram), sown, read, sown, e})
		if err != nil {
			return
		}
		for _, side := range s.Sides {
			if side.Mass() < 0 || side.Std() < 0 || side.Short < 0 {
				t.Errorf("%v ± %v, short %v", side.Mass(), side.Std(), side.Short)
			}
		}
		r := RateEstimate{Rate: units.RatePerArea(rate), Relative: relative, Freedom: freedom}
		dry, _, err := s.UntilDry(Metering{RateEstimate: r})
		if err != nil {
			return
		}
		for _, d := range dry {
			if d.P10 < 0 || d.P10 > d.P50 || d.P50 > d.P90 {
				t.Errorf("dry %+v", d)
			}
		}
		if f, err := s.ToFinish(units.Area(area), []Metering{Metering{RateEstimate: r}}, units.Mass(mass), units.Mass(std)); err == nil && (f.Over < 0 || f.Later < 0 || f.Bags < 0) {
			t.Errorf("finish %+v", f)
		}
	})
}

func FuzzStand(f *testing.F) {
	f.Add(int64(929), int64(10), int64(14), int64(0))
	f.Add(int64(1), int64(math.MaxInt64), int64(0), int64(1))
	f.Fuzz(func(t *testing.T, frame, a, b, c int64) {
		s, err := StandOf(units.Area(frame), []int64{a, b, c})
		if err == nil && !(0 <= s.Low && s.Low <= s.Mean && s.Mean <= s.High && s.FramesNeeded >= 0) {
			t.Errorf("%+v", s)
		}
	})
}
