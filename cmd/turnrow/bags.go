package main

import (
	"slices"

	"github.com/spf13/cobra"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

func newBagsCommand(g *globals) *cobra.Command {
	c := group(&cobra.Command{Use: "bags", Short: "Record bags of seed that came, or that left unsown"})
	c.AddCommand(
		task{use: "in LOT N", short: "Record bags that came", example: "  turnrow bags in O-1 6", args: exactly(2), flags: noteFlag,
			completes: lotNames, work: func(k *call) error {
				lot, n, err := k.bags()
				if err != nil {
					return err
				}
				return k.cameIn(client.Bags{Lot: lot, Bags: n, Note: k.Text("note")})
			}}.command(g),
		task{use: "out LOT N", short: "Record bags that left unsown", example: `  turnrow bags out O-1 1 --note "back to the dealer"`,
			args: exactly(2), flags: noteFlag, completes: lotNames, work: func(k *call) error {
				lot, n, err := k.bags()
				if err != nil {
					return err
				}
				return k.wrote(client.Bags{Lot: lot, Bags: n, Out: true, Note: k.Text("note")})
			}}.command(g),
	)
	return c
}

func (k *call) bags() (entry.ID, units.Count, error) {
	n, err := units.ParseCount(k.args[1])
	if err != nil {
		return entry.ID{}, 0, wrongCall{err}
	}
	l, err := k.lot(k.args[0])
	return l.ID, n, err
}

// cameIn writes that bags came. That more of the lot was used than came by now
// is no question, as more may come, but is said.
func (k *call) cameIn(b client.Bags) error {
	ids, err := k.do(b)
	if err != nil {
		return err
	}
	var over []words.Doubt
	for d := range words.Doubts(k.farm.View()) {
		if d.Kind == farm.MoreThanCame && !d.Settled && isAbout(d, b.Lot) {
			over = append(over, d)
		}
	}
	lines := k.tell(ids...)
	for _, d := range over {
		lines = append(lines, "in doubt still: "+d.Why+" ("+d.ID()+"); write what else came, or see turnrow doubts")
	}
	return k.show(answer.BagsCame{Entry: ids[0].String(), Doubted: report.DoubtIDs(over)}, lines)
}

// isAbout says whether a doubt offers to write that more of a lot came.
func isAbout(d words.Doubt, lot entry.ID) bool {
	return slices.ContainsFunc(d.Choices, func(c words.Choice) bool {
		in, ok := c.Body.(*entry.BagsIn)
		return ok && in.Lot == lot
	})
}
