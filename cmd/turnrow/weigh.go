package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
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

// someOf refuses nothing of what a flag says how much of.
func (k *call) someOf(flag string, some bool) {
	if k.Has(flag) && !some {
		k.fail("--%s: more than 0 is wanted", flag)
	}
}

func weigh(k *call) error {
	k.need("volume", "mass")
	w := k.Weigh()
	k.someOf("volume", w.Volume > 0)
	k.someOf("mass", w.Mass > 0)
	if err := k.wrong(); err != nil {
		return err
	}
	lot, err := k.lot(k.args[0])
	if err != nil {
		return err
	}
	w.Lot = lot.ID
	return k.wrote(w)
}
