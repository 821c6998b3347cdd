package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
)

func newDialMovedCommand(g *globals) *cobra.Command {
	return task{
		use: "dial BOX VALUE --why TEXT", short: "Record that a box's dial was moved, and why",
		example: `  turnrow dial grain 42 --why "caught 8 % light"
  turnrow dial grass 2-1 --why "the chart, for 8 lb/ac"
  turnrow dial legume 21.5 --side left --why "left ran empty first" --reading 3.4`,
		args: exactly(2),
		flags: func(f *pflag.FlagSet) {
			f.String("why", "", "why: the others will ask")
			f.String("side", "", "compartment, where each has a dial of its own")
			f.String("reading", "", "what the drill's counter showed, if you know")
		},
		completes: boxNames,
		work:      dialMoved,
	}.command(g)
}

func dialMoved(k *call) error {
	k.need("why")
	reading := k.Counter("reading")
	if err := k.wrong(); err != nil {
		return err
	}
	box, err := k.box(k.args[0])
	if err != nil {
		return err
	}
	side := k.side(box)
	if err := k.wrong(); err != nil {
		return err
	}
	to, err := box.ReadDial(side, k.args[1])
	if err != nil {
		return wrongCall{err}
	}
	return k.wrote(client.Dial{Box: box.ID, Side: side, To: to, Why: k.Text("why"), Reading: reading})
}
