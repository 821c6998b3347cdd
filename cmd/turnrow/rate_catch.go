package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// runFlags are the ground that seed is caught over.
func runFlags(f *pflag.FlagSet) {
	f.String("roll", "", "rolling circumference of the wheel that is turned, as \"8 ft 2 in\"")
	f.String("diameter", "", "wheel diameter with its unit, in place of a measured roll")
	f.String("turns", "", "turns of the wheel")
	f.String("distance", "", "distance driven, in place of turns")
	f.String("rows", "", "rows caught")
	f.String("spacing", "", "row spacing, as \"7.5 in\"")
	f.String("width", "", "width caught, in place of rows or of spacing, or of both")
}

// readRun takes the ground from the flags. A distance with turns and without a
// roll is the distance that those turns made.
func readRun(r *reading) rate.Run {
	run := rate.Run{Spacing: r.Spacing("spacing"), Width: r.Length("width"), Rows: int(r.Whole("rows"))}
	if r.Has("roll") && r.Has("diameter") {
		r.oneOf("roll", "diameter")
	}
	rolls := r.Has("roll") || r.Has("diameter")
	switch {
	case r.Has("distance") && r.Has("turns") && rolls:
		r.fail("--distance and --turns with a roll say the same in two ways: give one")
	case r.Has("distance"):
		run.Distance = r.Length("distance")
		needDistance(r, run.Distance)
	case r.Has("turns"):
		r.oneOf("roll", "diameter")
		run.Roll, run.Turns = readRoll(r), fields.Read(r.Reader, "turns", units.ParseTurns)
	default:
		r.oneOf("turns", "distance")
	}
	r.oddLength("spacing", run.Spacing)
	r.oddLength("wheel_roll", run.Roll)
	if !r.Has("width") && !((r.Has("row-masses") || r.Has("which")) && !r.Has("rows")) {
		r.need("rows", "spacing")
	}
	return run
}

// needDistance refuses a distance of nothing, which a run would take for none.
func needDistance(r *reading, d units.Length) {
	if d == 0 {
		r.fail("--distance: it must be more than 0")
	}
}

func newCatchCommand(g *globals) *cobra.Command {
	return sum{
		use: "catch", short: "Rate from seed that was caught and weighed, with its doubt",
		example: `  turnrow rate catch --roll "8 ft 2 in" --turns 20 --rows 4 --spacing "7.5 in" --caught 106g
  turnrow rate catch --roll "8.5 ft" --turns 10 --rows 10 --spacing "7 in" --of 10 --caught "2 oz" --explain
  turnrow rate catch --distance "150 ft" --spacing "7.5 in" --row-masses 24,26,25,25 --of 16 --resolution 0.1g
  turnrow rate catch --roll "8 ft 2 in" --turns 40 --width "10 ft" --caught 810g --caught 822g --target "24 lb/ac"`,
		flags: func(f *pflag.FlagSet) {
			runFlags(f)
			f.String("of", "", "rows of the whole drill, of which the rows caught are some")
			f.String("which", "", "numbers of the rows caught, as 1,2,5,6")
			f.Bool("moving", false, "caught while driving; without it, standing")
			f.StringArray("caught", nil, "mass caught, as 212g; give it again for each repeat of the same run")
			f.String("row-masses", "", "masses row by row, as 24,26,25,25 (bare numbers are grams)")
			f.String("resolution", "", "smallest step of the scale (default 1 g)")
			f.Int("weighings", 1, "readings of the scale in each mass: 2 where the container is taken off")
			f.String("part-turn", "", "how far off the first and last turn may be, either way (default 1/8)")
			f.String("target", "", "rate aimed at, to say what to do next")
		},
		work: workCatch,
	}.command(g)
}

func workCatch(r *reading, _ []string) (result, error) {
	c := readCatch(r)
	if r.err != nil {
		return result{}, r.err
	}
	got, err := c.Rate()
	if err != nil {
		return result{}, err
	}
	r.oddCatch(got)
	aside := asideLines(r.System, got.Aside)
	a := newCatchAnswer(got, r.System, aside)
	needs(&a, got.Needs())
	lines := append(append([]string{a.Advice}, aside...), caughtOver(got, c, r.System))
	if r.Has("target") {
		target := r.Rate("target")
		decision, err := got.Decide(target)
		if err != nil || r.err != nil {
			return result{}, err
		}
		a.Decision = string(decision)
		lines = append(lines, "against "+target.Format(r.System)+": "+a.Decision)
	}
	return result{value: a, lines: lines, steps: c.Explain}, nil
}

func readCatch(r *reading) rate.Catch {
	c := rate.Catch{
		Run:        readRun(r),
		Resolution: r.Grams("resolution"),
		PartTurn:   fields.Read(r.Reader, "part-turn", units.ParseTurns),
	}
	c.Caught, _ = r.Caught("caught")
	c.RowMasses, _ = r.RowMasses("row-masses")
	for _, n := range r.Rows("which") {
		c.Which = append(c.Which, int(n))
	}
	if r.Yes("moving") {
		c.Way = rate.Moving
	}
	c.Drill = int(r.Whole("of"))
	if c.Rows == 0 && c.Width == 0 {
		c.Rows = max(len(c.RowMasses), len(c.Which))
	}
	weighings, err := r.cmd.Flags().GetInt("weighings")
	if err != nil || weighings < 1 {
		r.fail("--weighings: it must be from 1 to 100")
	}
	c.Weighings = weighings
	if r.Has("of") && c.Drill == 0 {
		r.fail("--of: it must be more than 0")
	}
	if !r.Has("caught") && !r.Has("row-masses") {
		r.fail("one of --caught, --row-masses is missing")
	}
	return c
}

// caughtOver says what ground the catch stands for, and where rows were left
// to guess.
func caughtOver(got rate.CatchRate, c rate.Catch, system units.System) string {
	line := "caught over " + got.Area.Read(system)
	switch {
	case c.Width == 0 || c.Rows > 0 || c.Spacing > 0 || len(c.RowMasses) > 0:
		return line
	case c.Drill > 0:
		return line + "; how many rows that width holds was not said, so it is taken as one: add --rows or --spacing"
	}
	return line + ", taken as the whole width of the drill; if some rows only were caught, add --rows and --of"
}

// asideLines says what was set aside and why.
func asideLines(system units.System, aside []rate.Aside) []string {
	lines := []string{}
	for _, a := range aside {
		lines = append(lines, a.Words(system))
	}
	return lines
}

func newCatchAnswer(c rate.CatchRate, system units.System, aside []string) answer.RateCatch {
	a := answer.RateCatch{
		LbPerAc: answer.Number(c.Rate.LbPerAcre()), KgPerHa: answer.Number(c.Rate.KgPerHa()),
		AreaFt2: answer.Number(c.Area.SquareFeet()), AreaM2: answer.Number(c.Area.SquareMetres()),
		LowLbPerAc: answer.Number(c.Low.LbPerAcre()), HighLbPerAc: answer.Number(c.High.LbPerAcre()),
		LowKgPerHa: answer.Number(c.Low.KgPerHa()), HighKgPerHa: answer.Number(c.High.KgPerHa()),
		Grams: answer.Number(c.Mass.Grams()), HalfShare: answer.Number(c.Half()),
		Scale: answer.Number(c.Std.Scale), Turns: answer.Number(c.Std.Turns), Rows: answer.Number(c.Std.Rows), Repeats: answer.Number(c.Std.Repeats),
		Roll: answer.Number(c.Std.Roll), Catches: c.Masses, Aside: aside, Plugged: c.Plugged, Advice: c.Advice(system),
	}
	if h := c.Help(); h.Next != "" {
		after := answer.Number(h.After)
		a.Widest, a.Next, a.NextHalf = h.Widest, string(h.Next), &after
		if c.Half() <= rate.GoWithin {
			a.Next = string(rate.Go)
		}
	}
	return a
}

// need fills in what would bring the interval to ±5 %.
func needs(a *answer.RateCatch, n rate.Needs) {
	if n.Catches > 0 {
		a.NeedCatches = &n.Catches
	}
	if n.Turns > 0 {
		turns := answer.Number(n.Turns.Float())
		a.NeedTurns = &turns
	}
	if n.Distance > 0 {
		feet := answer.Number(n.Distance.Feet())
		a.NeedFt = &feet
	}
	if n.Rows > 0 {
		a.NeedRows = &n.Rows
	}
}

func newAimCommand(g *globals) *cobra.Command {
	return sum{
		use: "aim", short: "Mass of seed to catch for a rate",
		example: `  turnrow rate aim --rate "23 lb/ac" --roll "8 ft 2 in" --turns 20 --rows 4 --spacing "7.5 in"
  turnrow rate aim --rate "1 lb/ac" --distance "150 ft" --rows 1 --spacing "6 in"`,
		flags: func(f *pflag.FlagSet) {
			f.String("rate", "", "bulk rate aimed at, as \"23 lb/ac\"")
			runFlags(f)
			speciesFlags(f)
		},
		work: func(r *reading, _ []string) (result, error) {
			readSpecies(r)
			r.need("rate")
			run, aimed := readRun(r), r.Rate("rate")
			r.oddRate(aimed)
			if r.err != nil {
				return result{}, r.err
			}
			mass, err := run.Aim(aimed)
			if err != nil {
				return result{}, err
			}
			area, err := run.Area()
			return result{
				value: answer.RateAim{Grams: answer.Number(mass.Grams()), Lb: answer.Number(mass.Pounds()), Oz: answer.Number(mass.Ounces()),
					AreaFt2: answer.Number(area.SquareFeet()), AreaM2: answer.Number(area.SquareMetres())},
				lines: []string{"catch " + mass.ReadGrams() + " (" + mass.Read(units.US) + ") on " + area.Read(r.System)},
				steps: func(s units.System) ([]string, error) { return run.ExplainAim(aimed, s) },
			}, err
		},
	}.command(g)
}
