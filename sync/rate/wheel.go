package rate

import (
	"math"
	"strconv"

	"turnrow/sync/units"
)

// RollFromDistance is the rolling circumference of a wheel under load:
// distance ÷ turns, counted in the field with the drill working, so that slip
// and soft tyres are in it. Both must be above 0. Source: Southeast Farm Press
// field day (19 turns in 145.2 ft).
func RollFromDistance(distance units.Length, turns units.Turns) (units.Length, error) {
	if err := checkLength("distance", distance); err != nil {
		return 0, err
	}
	if err := checkTurns(turns); err != nil {
		return 0, err
	}
	return units.LengthFromMetres(distance.Metres() / turns.Float())
}

// RollFromDiameter is a wheel's circumference: π × diameter. It is worse than
// a measured roll, since a loaded tyre is flatter and slips. The diameter must
// be above 0.
func RollFromDiameter(diameter units.Length) (units.Length, error) {
	if err := checkLength("wheel diameter", diameter); err != nil {
		return 0, err
	}
	return units.LengthFromMetres(diameter.Metres() * math.Pi)
}

// maxRows bounds the rows of a drill, far beyond any that is built.
const maxRows = 1000

// Width is the working width: rows × spacing. There are 1 to 1,000 rows.
func Width(rows int, spacing units.Length) (units.Length, error) {
	if rows < 1 || rows > maxRows {
		return 0, refuse("number of rows", rows, "from 1 to %d", maxRows)
	}
	if err := checkLength("row spacing", spacing); err != nil {
		return 0, err
	}
	return units.LengthFromMetres(float64(rows) * spacing.Metres())
}

// TurnsPerAcre is the turns of a wheel on one acre: acre ÷ (rolling
// circumference × working width). Both must be above 0. Source: Wyoming
// Livestock Roundup, "Calibration is key to accurate seeding rates" (the
// area of a number of turns), and the acre of 43,560 ft².
func TurnsPerAcre(roll, width units.Length) (units.Turns, error) {
	if err := checkLength("wheel roll", roll); err != nil {
		return 0, err
	}
	if err := checkLength("working width", width); err != nil {
		return 0, err
	}
	return units.TurnsFromFloat(squareMetresPerAcre / (roll.Metres() * width.Metres()))
}

// RollFromTurns is the rolling circumference of a wheel that makes so many
// turns on an acre: acre ÷ (turns × working width), [TurnsPerAcre] the other
// way round. Both must be above 0.
func RollFromTurns(perAcre units.Turns, width units.Length) (units.Length, error) {
	if err := checkTurns(perAcre); err != nil {
		return 0, err
	}
	if err := checkLength("working width", width); err != nil {
		return 0, err
	}
	return units.LengthFromMetres(squareMetresPerAcre / (perAcre.Float() * width.Metres()))
}

// TrueArea corrects a counter that assumes a wrong number of turns to the
// acre: counted × assumed ÷ measured turns per acre, which is the same as
// counted × measured ÷ assumed ground to the turn. Both numbers of turns must
// be above 0, the counted area 0 or more.
func TrueArea(counted units.Area, assumed, measured units.Turns) (units.Area, error) {
	if counted < 0 {
		return 0, refuse("counted area", counted, "0 or more")
	}
	if err := checkTurns(assumed); err != nil {
		return 0, err
	}
	if err := checkTurns(measured); err != nil {
		return 0, err
	}
	v, err := units.MulDiv(int64(counted), int64(assumed), int64(measured))
	return units.Area(v), err
}

func checkTurns(t units.Turns) error {
	if t <= 0 {
		return refuse("number of turns", t, "more than 0")
	}
	return nil
}

// ExplainWheel writes the sum of TurnsPerAcre.
func ExplainWheel(roll, width units.Length, system units.System) ([]string, error) {
	turns, err := TurnsPerAcre(roll, width)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	acre := "43,560 ft2"
	if p.metric() {
		acre = strconv.FormatFloat(squareMetresPerAcre, 'f', 1, 64) + " m2"
	}
	p.line("one turn = roll %s × width %s = %s", p.length(roll.Metres()), p.length(width.Metres()),
		p.area(roll.Metres()*width.Metres()))
	p.line("turns per acre = %s ÷ %s = %s", acre, p.area(roll.Metres()*width.Metres()), figure(turns.Float(), 4))
	return p.lines, nil
}
