package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
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
	reading := optional(k, "reading", units.ParseReading)
	if err := k.wrong(); err != nil {
		return err
	}
	box, err := k.box(k.args[0])
	if err != nil {
		return err
	}
	side, err := k.dialSide(box)
	if err != nil {
		return err
	}
	to, err := box.ReadDial(side, k.args[1])
	if err != nil {
		return wrongCall{err}
	}
	return k.write(&entry.DialMoved{Box: box.ID, Side: side, From: dialNow(box, side), To: to, Why: k.text("why"), Aim: box.Aim, Reading: reading})
}

// dialSide is the dial that is meant: the box's, or one of its compartments'.
func (k *call) dialSide(b farm.Box) (int64, error) {
	side := k.side(b)
	switch {
	case b.OwnDials && side == 0:
		k.fail("box %s has a dial for each compartment: say which with --side", b.Name)
	case !b.OwnDials && side != 0:
		k.fail("--side: box %s has one dial for all of it: leave --side out", b.Name)
	}
	return side, k.wrong()
}

// dialNow is where a dial stands, as far as the record says.
func dialNow(b farm.Box, side int64) entry.Opt[units.Dial] {
	for _, d := range b.SideDials {
		if d.Side == side {
			return entry.Some(d.Dial)
		}
	}
	if side == 0 && b.DialSet {
		return entry.Some(b.Dial)
	}
	return entry.Opt[units.Dial]{}
}

// optional reads a flag that may be left out.
func optional[T any](k *call, flag string, parse parser[T], opts ...units.Option) (o entry.Opt[T]) {
	o.Val, o.Set = read(k.reading, flag, parse, opts...), k.has(flag)
	return o
}
