package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/sync/units"
)

func newWeighCommand(g *globals) *cobra.Command {
	return task{
		use: "weigh LOT --volume V --mass M", short: "Record what a measure of a lot weighs, to fill boxes by it",
		long: `Record what a measure of a seed lot weighs: a cup, a quart, a bucket. Seed
poured by the measure (turnrow fill --volume) is worked out from it. Strike the
measure off level, or say --heaped: a heaped bushel holds 28 % more than a struck
one (NIST Handbook 44, Appendix C), and nobody heaps alike. Weigh several to
have their mean. A cup is 8 fl oz, a quart 2 pints: measures of the kitchen.`,
		example: `  turnrow weigh C-7 --volume "1 cup" --mass 183g
  turnrow weigh O-1 --volume "1 gal" --mass "4 lb 3 oz" --heaped`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			volumeFlags(f)
			f.String("mass", "", "what that weighs, with its unit, as 183g")
		},
		completes: lotNames,
		work:      weigh,
	}.command(g)
}

// volumeFlags are seed by the measure.
func volumeFlags(f *pflag.FlagSet) {
	f.String("volume", "", "how much by the measure, as \"6 cups\" or \"1 qt\"")
	f.Bool("heaped", false, "the measure was heaped, not struck off level")
}

// volume reads volumeFlags: how much, in which units, and whether it was heaped.
func (k *call) volume() (v units.Volume, in units.In, heaped bool) {
	v = read(k.reading, "volume", units.ParseVolume, units.KeepIn(&in))
	if k.has("volume") && v == 0 {
		k.fail("--volume: more than 0 is wanted")
	}
	return v, in, k.flag("heaped")
}

func weigh(k *call) error {
	k.need("volume", "mass")
	var b client.Weigh
	b.Volume, b.VolumeIn, b.Heaped = k.volume()
	b.Mass = read(k.reading, "mass", units.ParseMass, units.KeepIn(&b.MassIn))
	if k.has("mass") && b.Mass == 0 {
		k.fail("--mass: more than 0 is wanted")
	}
	if err := k.wrong(); err != nil {
		return err
	}
	lot, err := k.lot(k.args[0])
	if err != nil {
		return err
	}
	b.Lot = lot.ID
	return k.wrote(b)
}
