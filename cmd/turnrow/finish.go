package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

func newFinishCommand(g *globals) *cobra.Command {
	return task{
		use: "finish GROUND", short: "Record that a piece of ground is finished, or is not after all",
		long: `Record that a piece of ground is finished, and hold the counter's acres against
the map while there is time to look. Where the two differ, the counter may be
off, or the map: a person decides. With --correct, the drill's counter is taken
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

type finishedAnswer struct {
	Entry      string  `json:"entry"`
	MapAcres   *number `json:"map_acres"`
	DoneAcres  *number `json:"acres_done"`
	OverShare  *number `json:"over_share"` // the counter's over the map's; null where either is not known
	Correction *number `json:"correction"` // true area over the counter's, taken from here on
}

func finish(k *call) error {
	reading := optional(k, "reading", units.ParseReading)
	if k.set("not") && k.set("correct") {
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
	b := &entry.GroundFinished{Ground: g.ID, Drill: d.ID, Reading: reading, Finished: !k.set("not")}
	a, lines := k.againstMap(g)
	if k.set("correct") {
		if b.Correction, err = correction(g, d, a); err != nil {
			return err
		}
		a.Correction = some(float64(b.Correction.Val) / 1000)
	}
	if k.set("not") {
		lines = nil
	}
	ids, err := k.record(b)
	if err != nil {
		return err
	}
	a.Entry = ids[0].String()
	return k.show(a, append(k.tell(ids...), lines...))
}

// againstMap holds the counter's acres of a piece against the map's.
func (k *call) againstMap(g farm.Ground) (finishedAnswer, []string) {
	var a finishedAnswer
	area, from := mapped(g)
	if area > 0 {
		a.MapAcres = some(area.Acres())
	}
	if g.Open || g.Done == 0 {
		return a, nil
	}
	a.DoneAcres = some(g.Done.Acres())
	if area == 0 {
		return a, []string{"No area or boundary of " + g.Name + " is set to hold the counter against."}
	}
	over := g.Done.Acres()/area.Acres() - 1
	a.OverShare = some(over)
	s := k.units()
	say := fmt.Sprintf("The counter says %s, %s %s: %s.", rough(g.Done).Format(s), from, area.Format(s), overText(over))
	if math.Abs(over) < 0.01 {
		return a, []string{say}
	}
	return a, []string{say, "Overlaps and ends count too, and the map may be wrong: look first. If the map is right, turnrow finish " +
		fmt.Sprintf("%q", g.Name) + " --correct corrects the counter from here on."}
}

// mapped is a piece's area by its boundary, or as it was stated.
func mapped(g farm.Ground) (units.Area, string) {
	if a, err := sheet.MapArea(&g); err == nil && a > 0 {
		return a, "the map"
	}
	return g.Area, "the piece was set at"
}

func overText(over float64) string {
	switch n := math.Round(100 * math.Abs(over)); {
	case n == 0:
		return "they agree"
	case over > 0:
		return fmt.Sprintf("%.0f %% over", n)
	default:
		return fmt.Sprintf("%.0f %% under", n)
	}
}

// correction is what the counter is to be taken for: the map's area over the
// counter's, on top of the correction that holds.
func correction(g farm.Ground, d farm.Drill, a finishedAnswer) (entry.Opt[int64], error) {
	if a.OverShare == nil {
		return entry.Opt[int64]{}, fmt.Errorf("--correct: the counter's acres of %s, or its area, are not known", g.Name)
	}
	was := d.Correction
	if was == 0 {
		was = 1000
	}
	area, _ := mapped(g)
	n, err := units.MulDiv(was, int64(area), int64(g.Done))
	if err != nil || n < 500 || n > 2000 {
		return entry.Opt[int64]{}, fmt.Errorf("--correct: %s done by the counter against %s is no error of a counter: look at the readings, and at the area",
			g.Done.Format(units.US), area.Format(units.US))
	}
	return entry.Some(n), nil
}
