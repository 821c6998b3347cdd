package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/rough"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newFinishCommand(g *globals) *cobra.Command {
	return task{
		use: "finish GROUND", short: "Record that a piece of ground is finished, or is not after all",
		long: `Record that a piece of ground is finished, and hold the counter's acres against
the map while there is time to look. Where the two differ, the counter may be
off, or the map: a person decides. A piece that is far from done by the counter, or
of which no acres were counted, is asked about first. With --correct, the drill's counter is taken
from here on for as much more or less as the map says.`,
		example: `  turnrow finish bench --reading 220.5
  turnrow finish bench --correct
  turnrow finish bench --not`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("reading", "", "what the counter shows there")
			f.Bool("correct", false, "the map is right: correct the counter by it from here on")
			f.Bool("not", false, "it is not finished after all")
		},
		work: finish,
	}.command(g)
}

func finish(k *call) error {
	reading := k.Counter("reading")
	if k.Yes("not") && k.Yes("correct") {
		k.fail("--not and --correct do not go together")
	}
	if err := k.wrong(); err != nil {
		return err
	}
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	g, err := k.ground(k.args[0])
	if err != nil {
		return err
	}
	h := g.HeldAgainst(&d)
	a, lines := k.againstMap(g, h)
	if k.Yes("correct") {
		if h.Correct == 0 {
			return fmt.Errorf("--correct: %s", notCorrected(g, h))
		}
		a.Correction = answer.Some(float64(h.Correct) / 1000)
	}
	if k.Yes("not") {
		lines = nil
	}
	ids, err := k.do(client.Finish{Ground: g.ID, Drill: d.ID, Reading: reading, Not: k.Yes("not"), Correct: k.Yes("correct")})
	if err != nil {
		return err
	}
	a.Entry = ids[0].String()
	return k.show(a, append(k.tell(ids...), lines...))
}

// againstMap holds the counter's acres of a piece against the map's.
func (k *call) againstMap(g farm.Ground, h farm.HeldAgainst) (answer.Finished, []string) {
	var a answer.Finished
	if h.Area > 0 {
		a.MapAcres = answer.Some(h.Area.Acres())
	}
	if h.Done == 0 {
		return a, nil
	}
	a.DoneAcres = answer.Some(h.Done.Acres())
	if h.Check == nil {
		return a, []string{"No area or boundary of " + g.Name + " is set to hold the counter against."}
	}
	a.OverShare = answer.Some(h.Over())
	a.Verdict = string(h.Check.Verdict)
	from := "the piece was set at"
	if h.Mapped {
		from = "the map"
	}
	s := k.units()
	lines := []string{fmt.Sprintf("The counter says %s, %s %s: %s.", rough.Counted(h.Done).Format(s), from, h.Area.Format(s), overText(h.Over())), verdicts[h.Check.Verdict]}
	if h.Correct > 0 {
		a.Offer = answer.Some(float64(h.Correct) / 1000)
		lines = append(lines, fmt.Sprintf("If the area is right, turnrow finish %q --correct takes the counter × %s from here on.", g.Name, units.Count(h.Correct)))
	}
	return a, lines
}

// verdicts are what a counter held against a finished piece comes to.
var verdicts = map[rate.CounterVerdict]string{
	rate.CounterAgrees:  "There is nothing to correct.",
	rate.CounterOff:     "Overlaps and ends count too, and the area may be wrong: look first.",
	rate.CounterFar:     "That is more than counter and area differ by themselves. Look first: was all of it sown, some of it twice, and is the area right?",
	rate.CounterUnclear: "The piece is too small to tell whether the counter is off.",
}

// notCorrected says why a counter cannot be corrected by a piece.
func notCorrected(g farm.Ground, h farm.HeldAgainst) string {
	switch {
	case h.Check == nil:
		return fmt.Sprintf("the counter's acres of %s, or its area, are not known", g.Name)
	case h.Check.Verdict == rate.CounterAgrees:
		return fmt.Sprintf("counter and area of %s agree: there is nothing to correct", g.Name)
	case h.Check.Verdict == rate.CounterUnclear:
		return fmt.Sprintf("%s is too small to tell whether the counter is off", g.Name)
	}
	return fmt.Sprintf("%s done by the counter against %s is no error of a counter: look at the readings, and at the area",
		h.Done.Format(units.US), h.Area.Format(units.US))
}

func overText(over float64) string {
	switch n := rough.Percent(math.Abs(over)); {
	case n == 0:
		return "they agree"
	case over > 0:
		return fmt.Sprintf("%d %% over", n)
	default:
		return fmt.Sprintf("%d %% under", n)
	}
}
