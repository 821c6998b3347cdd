package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newWheelCommand(g *globals) *cobra.Command {
	return sum{
		use: "wheel", short: "Rolling circumference and turns per acre; a counter put right",
		example: `  turnrow rate wheel --distance "145.2 ft" --turns 19 --rows 24 --spacing "7.5 in"
  turnrow rate wheel --roll "8 ft 2 in" --width "10 ft" --explain
  turnrow rate wheel --roll "8 ft 2 in" --width "10 ft" --counted "12.4 ac" --assumed-turns 520`,
		flags: func(f *pflag.FlagSet) {
			f.String("roll", "", "rolling circumference under load, as \"8 ft 2 in\"")
			f.String("diameter", "", "wheel diameter with its unit, in place of a measured roll")
			f.String("distance", "", "distance rolled in the field")
			f.String("turns", "", "turns counted over the distance")
			f.String("width", "", "working width, as \"10 ft\"")
			f.String("rows", "", "rows, in place of the width")
			f.String("spacing", "", "row spacing, as \"7.5 in\"")
			f.String("counted", "", "area that the counter shows")
			f.String("assumed-turns", "", "turns per acre that the counter is set for")
		},
		work: workWheel,
	}.command(g)
}

func workWheel(r *reading, _ []string) (result, error) {
	r.oneOf("roll", "diameter", "distance")
	roll := readRoll(r)
	width, wide := readWidth(r)
	if roll == 0 {
		r.fail("--roll, --diameter or --distance is 0: a wheel rolls some way, such as 8 ft 2 in")
	}
	r.oddLength("wheel_roll", roll)
	r.oddLength("width", width)
	if r.err != nil {
		return result{}, r.err
	}
	a := answer.RateWheel{RollFt: answer.Number(roll.Feet()), RollM: answer.Number(roll.Metres())}
	res := result{lines: []string{"roll " + roll.Format(r.System)}}
	if wide {
		turns, err := rate.TurnsPerAcre(roll, width)
		if err != nil {
			return result{}, err
		}
		feet, perAcre := answer.Number(width.Feet()), answer.Number(turns.Float())
		a.WidthFt, a.TurnsPerAcre = &feet, &perAcre
		res.lines = append(res.lines, "turns per acre "+turnsText(turns))
		res.steps = func(s units.System) ([]string, error) { return rate.ExplainWheel(roll, width, s) }
		if err := trueArea(r, turns, &a, &res); err != nil {
			return result{}, err
		}
	}
	res.value = a
	return res, nil
}

// turnsText rounds turns per acre to a tenth.
func turnsText(t units.Turns) string { return ((t + 50) / 100 * 100).String() }

// trueArea puts a counter right where the call asks for it.
func trueArea(r *reading, measured units.Turns, a *answer.RateWheel, res *result) error {
	if !r.Has("counted") && !r.Has("assumed-turns") {
		return nil
	}
	r.need("counted", "assumed-turns")
	counted, assumed := r.Area("counted"), fields.Read(r.Reader, "assumed-turns", units.ParseTurns)
	if r.err != nil {
		return r.err
	}
	area, err := rate.TrueArea(counted, assumed, measured)
	if err != nil {
		return err
	}
	acres := answer.Number(area.Acres())
	a.TrueAc = &acres
	res.lines = append(res.lines, "true area "+area.Format(r.System)+" of "+counted.Format(r.System)+" counted")
	return nil
}

// readRoll takes the rolling circumference from whichever flag gives it, and
// is zero where none does.
func readRoll(r *reading) units.Length {
	var roll units.Length
	var err error
	switch {
	case r.Has("roll"):
		return r.Length("roll")
	case r.Has("diameter"):
		roll, err = rate.RollFromDiameter(fields.Read(r.Reader, "diameter", units.ParseLength))
	case r.Has("distance"):
		r.need("turns")
		roll, err = rate.RollFromDistance(r.Length("distance"), fields.Read(r.Reader, "turns", units.ParseTurns))
	}
	if err != nil {
		r.fail("%w", err)
	}
	return roll
}

// readWidth takes the working width from --width or from rows and spacing.
func readWidth(r *reading) (width units.Length, given bool) {
	switch {
	case r.Has("width") && (r.Has("rows") || r.Has("spacing")):
		r.fail("--width and --rows with --spacing say the same in two ways: give one")
	case r.Has("width"):
		return r.Length("width"), true
	case r.Has("rows") || r.Has("spacing"):
		r.need("rows", "spacing")
		r.oddLength("spacing", r.Spacing("spacing"))
		width, err := rate.Width(int(r.Whole("rows")), r.Spacing("spacing"))
		if err != nil {
			r.fail("%w", err)
		}
		return width, true
	}
	return 0, false
}
