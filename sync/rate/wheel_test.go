package rate

import (
	"errors"
	"math"
	"slices"
	"testing"

	"turnrow/sync/units"
)

// Southeast Farm Press: a drill of 24 openers at 7.5 in, 15 ft wide, makes 19
// turns in 145.2 ft, a twentieth of an acre; so 380 turns to the acre.
func TestTurnsPerAcre(t *testing.T) {
	width := want(Width(24, inches(7.5)))
	roll := want(RollFromDistance(feet(145.2), turns(19)))
	agree(t, "roll", roll.Feet(), 7.642105, 1e-6)
	agree(t, "turns per acre", want(TurnsPerAcre(roll, width)).Float(), 380, 1e-5)
	agree(t, "roll from turns", want(RollFromTurns(want(TurnsPerAcre(roll, width)), width)).Feet(), roll.Feet(), 1e-5)
	agree(t, "by diameter", want(RollFromDiameter(feet(2))).Feet(), 2*math.Pi, 1e-6)
	lines, err := ExplainWheel(roll, width, units.US)
	if err != nil || !slices.Equal(lines, []string{
		"one turn = roll 7.642 ft × width 15 ft = 114.6 ft2",
		"turns per acre = 43,560 ft2 ÷ 114.6 ft2 = 380"}) {
		t.Errorf("%q, %v", lines, err)
	}
}

// A counter set for 380 turns to the acre on a wheel that really makes 400
// shows more ground than was done.
func TestTrueArea(t *testing.T) {
	got := want(TrueArea(want(units.AreaFromAcres(10)), turns(380), turns(400)))
	agree(t, "true area", got.Acres(), 9.5, 1e-6)
	same := want(TrueArea(want(units.AreaFromAcres(7.25)), turns(123), turns(123)))
	agree(t, "a counter that is right", same.Acres(), 7.25, 1e-7)
}

func TestWheelAndPaceRefuse(t *testing.T) {
	for name, refused := range map[string]func() error{
		"no distance":      func() error { return second(RollFromDistance(0, turns(3))) },
		"no turns":         func() error { return second(RollFromDistance(feet(5), 0)) },
		"no diameter":      func() error { return second(RollFromDiameter(0)) },
		"no rows":          func() error { return second(Width(0, inches(7))) },
		"many rows":        func() error { return second(Width(1001, inches(7))) },
		"no spacing":       func() error { return second(Width(10, 0)) },
		"zero width":       func() error { return second(TurnsPerAcre(feet(8), 0)) },
		"no turns an acre": func() error { return second(RollFromTurns(0, feet(8))) },
		"turns, no width":  func() error { return second(RollFromTurns(turns(500), 0)) },
		"zero roll":        func() error { return second(TurnsPerAcre(0, feet(8))) },
		"too many turns":   func() error { return second(TurnsPerAcre(1, 1)) },
		"negative area":    func() error { return second(TrueArea(-1, turns(1), turns(1))) },
		"assumed nothing":  func() error { return second(TrueArea(1, 0, turns(1))) },
		"measured":         func() error { return second(TrueArea(1, turns(1), 0)) },
		"standing still":   func() error { return second(PerHour(0, feet(8), units.Whole)) },
		"pace width":       func() error { return second(PerHour(1e6, 0, units.Whole)) },
		"efficiency":       func() error { return second(PerHour(1e6, feet(8), units.Whole+1)) },
		"no pace":          func() error { return second(HoursFor(1, 0)) },
		"negative ground":  func() error { return second(HoursFor(-1, 1)) },
		"explain wheel":    func() error { return second(ExplainWheel(0, 0, units.US)) },
		"explain pace":     func() error { return second(ExplainPace(0, 0, 0, units.US)) },
	} {
		if err := refused(); !errors.Is(err, units.ErrRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := second(TrueArea(math.MaxInt64, turns(1e9), 1)); !errors.Is(err, units.ErrOverflow) {
		t.Errorf("overflow: %v", err)
	}
}

func TestPaceOnPaper(t *testing.T) {
	speed := want(units.ParseSpeed("5 mph"))
	lines, err := ExplainPace(speed, feet(10), share(0.7), units.US)
	if err != nil || lines[0] != "pace = 5 mph × 10 ft × 70 % ÷ 8.25 = 4.242 ac/h" {
		t.Errorf("%q, %v", lines, err)
	}
	lines, err = ExplainPace(want(units.ParseSpeed("8 km/h")), want(units.ParseLength("3 m")), share(0.7), units.Metric)
	if err != nil || lines[0] != "pace = 8 km/h × 3 m × 70 % ÷ 10 = 1.68 ha/h" {
		t.Errorf("%q, %v", lines, err)
	}
	agree(t, "hours", want(HoursFor(want(units.AreaFromAcres(21)), want(units.AreaFromAcres(4.2)))), 5, 1e-7)
}
