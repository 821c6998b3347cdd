package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newBringCommand(g *globals) *cobra.Command {
	c := group(&cobra.Command{
		Use: "bring", Short: "Seed to be brought: what is wanted, and how far it has come",
		Long: `Seed to be brought to the drill. Whoever is short asks for it; whoever brings it
says so, and anybody may say that it is there. Of what two say who did not hear
each other, the furthest counts. Pouring it in is written by turnrow fill.`,
	})
	ask := task{
		use: "ask LOT (--bags N | --mass M) (--box NAME | --gate T)", short: "Ask for seed to be brought",
		example: `  turnrow bring ask O-1 --bags 4 --box grain
  turnrow bring ask C-7 --mass "25 lb" --box legume --gate "north gate"`,
		args: exactly(1), completes: lotNames,
		flags: func(f *pflag.FlagSet) {
			f.String("bags", "", "bags wanted, as 3 or 2 1/2")
			f.String("mass", "", "mass wanted, in place of bags, as \"50 lb\"")
			f.String("box", "", "the box that it is for")
			f.String("side", "", "its compartment, by its name or number")
			f.String("gate", "", "where to bring it, as \"north gate\"")
			f.String("note", "", "what else there is to say")
		},
		work: bringAsk,
	}.command(g)
	g.completeFlags(ask, map[string]names{"box": boxNames})
	c.AddCommand(ask,
		errandCommand(g, "going", "Record that what is wanted is on the way", entry.ErrandOnTheWay),
		errandCommand(g, "there", "Record that it is where it was wanted", entry.ErrandThere),
		errandCommand(g, "again", "Record that it is wanted again: nobody brings it after all, or it was the wrong seed", entry.ErrandWanted),
		task{use: "show", short: "Show what is wanted and not there yet",
			example: "  turnrow bring show\n  turnrow bring show --json", work: bringShow}.command(g),
	)
	return c
}

// errandCommand is the command that says how far an errand has come.
func errandCommand(g *globals, verb, short string, to entry.ErrandState) *cobra.Command {
	return task{use: verb + " [NOTE]", short: short, args: atMost(1), flags: noteFlag,
		long:    short + ".\nNOTE is the one that asked for it. Without it, the only seed that is wanted is meant.",
		example: "  turnrow bring " + verb,
		work:    func(k *call) error { return k.bring(to) }}.command(g)
}

func bringAsk(k *call) error {
	k.oneOf("bags", "mass")
	w := k.Want()
	if !k.Has("box") && !k.Has("gate") {
		k.fail("one of --box, --gate is missing%s", exampleOf(k.cmd))
	}
	if k.Has("side") && !k.Has("box") {
		k.fail("--side: it goes with --box")
	}
	if err := k.wrong(); err != nil {
		return err
	}
	if k.Has("box") {
		b, err := k.box(k.Text("box"))
		if err != nil {
			return err
		}
		w.Box, w.Side = b.ID, k.side(b)
	}
	lot, err := k.lot(k.args[0])
	if err != nil {
		return err
	}
	w.Lot = lot.ID
	if err := k.wrong(); err != nil {
		return err
	}
	return k.wrote(w)
}

func (k *call) bring(to entry.ErrandState) error {
	e, err := k.errand()
	if err != nil {
		return err
	}
	return k.wrote(client.Bring{Errand: e.ID, State: to, Note: k.Text("note")})
}

// errand is the one that an argument names, or the only one that is open.
func (k *call) errand() (farm.Errand, error) {
	if len(k.args) == 0 {
		open := k.view().Wanted()
		switch len(open) {
		case 1:
			return open[0], nil
		case 0:
			return farm.Errand{}, fmt.Errorf("nothing is wanted that is not there: turnrow bring ask asks for seed")
		}
		var may []string
		for _, e := range open {
			may = append(may, k.short(e.ID))
		}
		return farm.Errand{}, wrongCall{fmt.Errorf("%d are wanted: say which (%s)", len(open), strings.Join(may, ", "))}
	}
	id, err := k.entryNamed(k.args[0])
	if err != nil {
		return farm.Errand{}, err
	}
	e, ok := k.view().ErrandOf(id)
	if !ok {
		return e, fmt.Errorf("%s is no note that asks for seed: turnrow bring show lists what is wanted", k.args[0])
	}
	return e, nil
}

func bringShow(k *call) error {
	answers := []answer.Errand{}
	var rows [][]string
	for _, e := range k.view().Wanted() {
		answers = append(answers, k.report().Errand(e))
		now := e.Said
		now.State = e.State
		rows = append(rows, k.noteRow(e.ID, &now, e.By))
	}
	return k.show(answers, notesTable(rows, "Nothing is wanted that is not there."))
}
