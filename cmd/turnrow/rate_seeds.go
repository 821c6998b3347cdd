package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newSeedsCommand(g *globals) *cobra.Command {
	return sum{
		use: "seeds", short: "Live seeds to the area from a bulk rate, or the reverse",
		example: `  turnrow rate seeds --rate "15 lb/ac" --seeds-per-lb 220,000
  turnrow rate seeds --per-ft2 35 --seeds-per-lb 12,000 --live-share 90%
  turnrow rate seeds --per-m2 280 --seed-mass-1000 53g --units metric
  turnrow rate seeds --rate "12 lb/ac" --species orchardgrass --live-share 78%`,
		flags: func(f *pflag.FlagSet) {
			f.String("rate", "", "bulk rate, as \"15 lb/ac\"")
			f.String("per-ft2", "", "live seeds wanted to the square foot")
			f.String("per-m2", "", "live seeds wanted to the square metre")
			f.String("seeds-per-lb", "", "seeds to the pound")
			f.String("seed-mass-1000", "", "mass of a thousand seeds, as 2.2g")
			f.String("live-share", "", "live share of what is in the bag (default 100%)")
			speciesFlags(f)
		},
		work: workSeeds,
	}.command(g)
}

func workSeeds(r *reading, _ []string) (result, error) {
	species, _ := readSpecies(r)
	r.oneOf("rate", "per-ft2", "per-m2")
	size, source := readSeedSize(r, species)
	live := rate.Live(1)
	if r.Has("live-share") {
		var err error
		if live, err = rate.LiveFrom(r.WholeShare("live-share")); err != nil {
			r.fail("%w", err)
		}
	}
	bulk := r.Rate("rate")
	r.oddRate(bulk)
	seeds := fields.Read(r.Reader, "per-ft2", units.ParseDensity, units.Bare("/ft2")) + fields.Read(r.Reader, "per-m2", units.ParseDensity, units.Bare("/m2"))
	if r.err != nil {
		return result{}, r.err
	}
	var err error
	steps := func(s units.System) ([]string, error) { return rate.ExplainRateForSeeds(seeds, live, size, s) }
	if r.Has("rate") {
		seeds, err = rate.SeedsPerArea(bulk, live, size)
		steps = func(s units.System) ([]string, error) { return rate.ExplainSeeds(bulk, live, size, s) }
	} else {
		bulk, err = rate.RateForSeeds(seeds, live, size)
	}
	return result{
		value: answer.RateSeeds{SeedsPerFt2: answer.Number(seeds.PerSquareFoot()), SeedsPerM2: answer.Number(seeds.PerSquareMetre()), LbPerAc: answer.Number(bulk.LbPerAcre()),
			KgPerHa: answer.Number(bulk.KgPerHa()), SeedsPerLb: answer.Number(size.PerPound()), LiveShare: answer.Number(live), Source: source},
		lines: []string{"bulk " + bulk.Format(r.System) + " puts out " + seeds.Format(r.System) + " live seeds",
			"with " + source},
		steps: steps,
	}, err
}

// readSeedSize takes the seed count from the tag, or from the built-in table.
// The bag's own figure always wins.
func readSeedSize(r *reading, species rate.Species) (size rate.SeedSize, source string) {
	var err error
	flag := "species"
	switch {
	case r.Has("seeds-per-lb") && r.Has("seed-mass-1000"):
		r.oneOf("seeds-per-lb", "seed-mass-1000")
	case r.Has("seeds-per-lb"):
		flag, source = "seeds-per-lb", "the seed count given"
		size, err = rate.SeedsPerPound(fields.Read(r.Reader, flag, units.ParseCount))
	case r.Has("seed-mass-1000"):
		flag, source = "seed-mass-1000", "the seed mass given"
		size, err = rate.MillionSeedMass(fields.Read(r.Reader, flag, units.ParseMass, units.Bare("g"), units.Times(1000)))
	case r.Has("species"):
		count, ok := species.SeedCount()
		if !ok {
			r.fail("--species: no seed count of %s is built in: give --seeds-per-lb", species.Name)
		}
		size, source = count.Size, count.String()
	default:
		r.oneOf("seeds-per-lb", "seed-mass-1000", "species")
	}
	if err != nil {
		r.fail("--%s: %w", flag, err)
	}
	return size, source
}
