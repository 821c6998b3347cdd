package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/sheet"
	"turnrow/sync/farm"
)

func newFillCommand(g *globals) *cobra.Command {
	c := task{
		use: "fill BOX --lot L (--bags N | --mass M | --volume V)", short: "Record seed poured into a box",
		long: `Record seed poured into a box, over all of it or into one side. Treated seed and
dust need the protection that the tag names. Seed poured by the cup or the quart
is worked out from what such a measure of the lot weighed (turnrow weigh), or
from the published bushel weight of its species, which is good to some 15 %.`,
		example: `  turnrow fill grain --lot O-1 --bags 3
  turnrow fill legume --lot C-7 --mass "12 lb" --side left
  turnrow fill legume --lot C-7 --volume "6 cups"`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("lot", "", "the seed lot")
			f.String("bags", "", "bags poured, as 3 or 2 1/2")
			f.String("mass", "", "mass poured, in place of bags, as \"50 lb\"")
			volumeFlags(f)
			seedFlags(f)
			f.String("note", "", "what else there is to say")
		},
		completes: boxNames,
		work:      fill,
	}.command(g)
	g.completeFlags(c, map[string]names{"lot": lotNames})
	return c
}

// seedFlags are where and when in a box.
func seedFlags(f *pflag.FlagSet) {
	f.String("side", "", "compartment, by its name or number (default: all of the box)")
	f.String("reading", "", "what the drill's counter showed, if you know")
}

// seedIn finds the box that seed is in, and its side.
func (k *call) seedIn() (farm.Box, int64, error) {
	if err := k.wrong(); err != nil {
		return farm.Box{}, 0, err
	}
	b, err := k.box(k.args[0])
	if err != nil {
		return b, 0, err
	}
	side := k.side(b)
	return b, side, k.wrong()
}

func fill(k *call) error {
	k.need("lot")
	k.oneOf("bags", "mass", "volume")
	f := k.Fill()
	k.someOf("volume", f.Volume > 0)
	if f.Heaped && !k.Has("volume") {
		k.fail("--heaped: it goes with --volume")
	}
	if f.Bags == 0 && f.Mass == 0 && f.Volume == 0 {
		k.fail("nothing was poured: more than 0 is wanted")
	}
	b, side, err := k.seedIn()
	if err != nil {
		return err
	}
	lot, err := k.lot(k.Text("lot"))
	if err != nil {
		return err
	}
	f.Box, f.Side, f.Lot = b.ID, side, lot.ID
	return k.poured(f, lot)
}

// poured writes that seed of a lot was poured, and shows what there is to weigh
// before it is in the ground.
func (k *call) poured(f client.Fill, lot farm.Lot) error {
	ids, err := k.do(f)
	if err != nil {
		return err
	}
	notes := sheet.LotCautions(&lot, k.today())
	return k.show(answer.Poured{Entry: ids[0].String(), Cautions: cautions(notes)}, append(k.tell(ids...), cautionLines(notes)...))
}

func newDrainCommand(g *globals) *cobra.Command {
	return task{
		use: "drain BOX (--mass M | --all)", short: "Record seed let out of a box",
		example: `  turnrow drain grain --all --mass "18 lb" --where "back into the bag"
  turnrow drain legume --mass 400g`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("mass", "", "mass let out, as \"18 lb\"")
			f.Bool("all", false, "the box, or its side, is empty now")
			f.String("where", "", "where the seed went")
			seedFlags(f)
		},
		completes: boxNames,
		work: func(k *call) error {
			d := k.Drain()
			d.All = k.Yes("all")
			if !d.All && d.Mass == 0 {
				k.fail("one of --mass, --all is missing%s", exampleOf(k.cmd))
			}
			b, side, err := k.seedIn()
			d.Box, d.Side = b.ID, side
			if err != nil {
				return err
			}
			return k.wrote(d)
		},
	}.command(g)
}

func newLevelCommand(g *globals) *cobra.Command {
	return task{
		use: "level BOX (--mass M | --share P)", short: "Record what was seen in a box: a mass, or a share of full",
		example: `  turnrow level grain --share 1/4
  turnrow level legume --mass "6 lb" --side right`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("mass", "", "mass in the box")
			f.String("share", "", "share of full, as 25% or 1/4")
			seedFlags(f)
			f.String("note", "", "what else there is to say")
		},
		completes: boxNames,
		work: func(k *call) error {
			k.oneOf("mass", "share")
			l := k.Level()
			b, side, err := k.seedIn()
			l.Box, l.Side = b.ID, side
			if err != nil {
				return err
			}
			return k.wrote(l)
		},
	}.command(g)
}
