package main

import (
	"github.com/spf13/cobra"

	"turnrow/sync/entry"
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
				return k.write(&entry.BagsIn{Lot: lot, Bags: n, Note: k.text("note")})
			}}.command(g),
		task{use: "out LOT N", short: "Record bags that left unsown", example: `  turnrow bags out O-1 1 --note "back to the dealer"`,
			args: exactly(2), flags: noteFlag, completes: lotNames, work: func(k *call) error {
				lot, n, err := k.bags()
				if err != nil {
					return err
				}
				return k.write(&entry.BagsOut{Lot: lot, Bags: n, Note: k.text("note")})
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
