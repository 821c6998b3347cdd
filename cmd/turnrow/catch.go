package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newRecordCatchCommand(g *globals) *cobra.Command {
	c := task{
		use: "catch --box B --lot L --dial D --turns N --rows K --caught M [--caught M]", short: "Record seed that was caught and weighed",
		long: `Record seed that was caught and weighed: so many turns of the wheel, or so far
driven, under so many rows. Prints the rate that it shows, with its 90 %
interval, and what all catches at that dial show together: repeats in one note
and notes one after another are the same thing. A catch of 0g is a true catch,
of a meter that is plugged. What was caught standing and what was caught moving
share no mean: turns are taken as standing, a distance as moving, unless said.
--reading says where the counter stood, and counts as a reading of it.
Turn the wheel with the drill blocked, in park, engine off, key out.`,
		example: `  turnrow catch --box grain --lot O-1 --dial 40 --turns 20 --rows 16 --caught 424g --caught 431g
  turnrow catch --box grain --lot O-1 --dial 40 --turns 20 --rows 4 --caught 106g
  turnrow catch --box legume --lot C-7 --dial 22 --turns 40 --row-masses 21.1,20.8,21.4,20.9 --resolution 0.1g
  turnrow catch --box grain --lot O-1 --dial 40 --distance "150 ft" --rows 4 --caught 110g`,
		flags: func(f *pflag.FlagSet) {
			f.String("box", "", "the seed box")
			f.String("lot", "", "the seed lot in it")
			f.String("dial", "", "the box's dial, as 40, or its mark, as C")
			f.String("turns", "", "turns of the wheel")
			f.String("distance", "", "distance driven, in place of turns")
			f.String("rows", "", "rows caught (default: as many as there are row masses)")
			f.String("which", "", "numbers of the rows caught from the left, as 1,2,5,6")
			f.String("width", "", "width caught, in place of rows")
			f.StringArray("caught", nil, "mass caught in all, with its unit, as 106g; give it again for each repeat of the run")
			f.Int("weighings", 0, "readings of the scale in each mass: 2 where the container is taken off")
			f.Bool("standing", false, "the wheel was turned by hand, with the drill blocked")
			f.Bool("moving", false, "caught while the drill was driven")
			f.String("row-masses", "", "masses row by row, as 24,26,25,25 (bare numbers are grams)")
			f.String("resolution", "", "the scale's smallest step, as 0.1g (bare numbers are grams)")
			f.String("side", "", "compartment, where it was caught from one")
			f.String("reading", "", "what the drill's counter showed, if you know")
			f.String("note", "", "what else there is to say")
		},
		work: recordCatch,
	}.command(g)
	g.completeFlags(c, map[string]names{"box": boxNames, "lot": lotNames})
	return c
}

func recordCatch(k *call) error {
	c, drill, err := k.readCaught()
	if err != nil {
		return err
	}
	ids, err := k.do(c)
	if err != nil {
		return err
	}
	b := &c.Caught
	if was, ok := k.body(ids[0]).(*entry.Caught); ok { // another reading may have been chosen
		b = was
	}
	shown, err := farm.CatchOf(b, drill).Rate()
	if err != nil {
		return err
	}
	box, _ := k.view().BoxOf(b.Box)
	s := k.units()
	line := fmt.Sprintf("%s, nine in ten %s", shown.Rate.Format(s), rate.Between(shown.Low, shown.High, s))
	if shown.Plugged {
		line = shown.Advice(s)
	}
	if box.Aim > 0 {
		line += "; aim " + box.Aim.Format(s)
	}
	a := answer.Caught{Entry: ids[0].String(), LbPerAc: answer.Number(shown.Rate.LbPerAcre()), LowLbPerAc: answer.Number(shown.Low.LbPerAcre()),
		HighLbPerAc: answer.Number(shown.High.LbPerAcre()), AimLbPerAc: answer.Number(box.Aim.LbPerAcre()), HalfShare: answer.Number(shown.Half()),
		Catches: shown.Masses, Aside: asideLines(s, shown.Aside), Plugged: shown.Plugged}
	lines := append([]string{line}, a.Aside...)
	t, say := k.together(b, dialNamed(box, b.Side, b.Dial))
	a.Together, lines = t, append(lines, say...)
	return k.show(a, append(lines, k.tell(ids...)...))
}

// together is what is known of a lot at the dial of a catch once that is
// written, and the same in words, with the dial's; nil where nothing is.
func (k *call) together(b *entry.Caught, dial string) (*answer.Together, []string) {
	c, err := k.farm.Curve(b.Box, b.Lot)
	if err != nil {
		return nil, nil
	}
	est, err := c.Fit.RateAt(b.Dial)
	if err != nil {
		return nil, nil
	}
	next, why, err := c.Fit.Next(b.Dial)
	if err != nil {
		return nil, nil
	}
	s := k.units()
	t := &answer.Together{LbPerAc: answer.Number(est.Rate.LbPerAcre()), LowLbPerAc: answer.Number(est.Low.LbPerAcre()), HighLbPerAc: answer.Number(est.High.LbPerAcre()),
		Catches: c.Fit.Catches(), Aside: asideLines(s, c.Fit.Aside()), OffChartTimes: offChartTimes(c.Fit), Next: string(next), Why: why}
	lines := []string{fmt.Sprintf("by all catches and the chart, %s gives %s, nine in ten %s", dial, est.Rate.Format(s), rate.Between(est.Low, est.High, s))}
	return t, append(append(append(lines, t.Aside...), offChartLines(c.Fit)...), t.Next+": "+t.Why)
}

// dialNamed names a setting by its mark, or its number.
func dialNamed(b farm.Box, side int64, d units.Dial) string {
	if len(b.MarksOf(side)) > 0 {
		return "mark " + words.Mark(b, side, d)
	}
	return "dial " + d.String()
}

func (k *call) readCaught() (client.Catch, farm.Drill, error) {
	k.need("box", "lot", "dial")
	k.oneOf("turns", "distance")
	b := k.Catch("row-masses")
	b.Turns, b.Way = fields.Read(k.Reader, "turns", units.ParseTurns), k.wayOfCatch()
	b.Distance, b.DistanceIn = k.LengthIn("distance")
	if !k.Has("caught") && !k.Has("row-masses") {
		k.fail("one of --caught, --row-masses is missing")
	}
	if n, err := k.cmd.Flags().GetInt("weighings"); err != nil || n < 0 || n > 100 {
		k.fail("--weighings: it must be from 1 to 100")
	} else {
		b.Weighings = int64(n)
	}
	if b.Rows == 0 && b.Width == 0 {
		b.Rows = int64(max(len(b.RowMasses), len(b.RowNumbers)))
	}
	if b.Width == 0 && b.Rows == 0 {
		k.need("rows")
	}
	if b.Width > 0 && b.Rows > 0 {
		k.fail("--width and the rows say the same in two ways: give one")
	}
	if err := k.wrong(); err != nil {
		return b, farm.Drill{}, err
	}
	drill, err := k.placeCatch(&b)
	return b, drill, err
}

// wayOfCatch is how a catch was made, where it was said.
func (k *call) wayOfCatch() entry.CatchWay {
	standing, moving := k.Yes("standing"), k.Yes("moving")
	switch {
	case standing && moving:
		k.fail("--standing and --moving: it was one or the other")
	case standing:
		return entry.Standing
	case moving:
		return entry.Moving
	}
	return entry.WayNotSaid
}

// placeCatch finds the box and the lot of a catch, and the box's drill.
func (k *call) placeCatch(b *client.Catch) (farm.Drill, error) {
	box, err := k.box(k.Text("box"))
	if err != nil {
		return farm.Drill{}, err
	}
	lot, err := k.lot(k.Text("lot"))
	if err != nil {
		return farm.Drill{}, err
	}
	b.Box, b.Lot, b.Side = box.ID, lot.ID, k.side(box)
	if err := k.wrong(); err != nil {
		return farm.Drill{}, err
	}
	b.Dial = k.Dial("dial", box, b.Side)
	drill, _ := k.view().DrillOf(box.Drill)
	return drill, k.wrong()
}
