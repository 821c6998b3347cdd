package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// speciesFlags let bushels and seed counts be looked up.
func speciesFlags(f *pflag.FlagSet) {
	f.String("species", "", "species, for bushels and seed counts, as \"tall fescue\"")
	f.String("authority", "", "whose bushel weight to use, as Iowa (default: the first in \"turnrow rate species\")")
}

// readSpecies looks the species up and lets bushels stand for a mass of it.
func readSpecies(r *reading) (s rate.Species, ok bool) {
	if !r.Has("species") {
		return s, false
	}
	s, err := rate.FindSpecies(r.Text("species"))
	if err != nil {
		r.fail("--species: %w", err)
		return s, false
	}
	authority := ""
	if r.Has("authority") {
		authority = r.Text("authority")
	}
	weight, err := s.BushelWeight(authority)
	switch {
	case err == nil:
		r.Bushel = weight.Mass
	case r.Has("authority"):
		r.fail("--authority: %w", err)
	case len(s.BushelWeights()) > 0:
		r.NoBushel = fmt.Errorf("%w; name one with --authority", err) // only trouble where bushels are written
	}
	return s, true
}

func newBulkCommand(g *globals) *cobra.Command {
	return sum{
		use: "bulk", short: "Bulk rate that puts out a live rate",
		example: `  turnrow rate bulk --live "30 lb/ac" --purity 98% --germination 90%
  turnrow rate bulk --live "25 kg/ha" --live-share 85% --units metric
  turnrow rate bulk --live "1.5 bu/ac" --species oat --live-share 88%`,
		flags: func(f *pflag.FlagSet) {
			f.String("live", "", "live seed wanted, as \"30 lb PLS/ac\"")
			f.String("live-share", "", "live share, in place of the tag, as 88.2%")
			tagFlags(f)
			speciesFlags(f)
		},
		work: workBulk,
	}.command(g)
}

func workBulk(r *reading, _ []string) (result, error) {
	readSpecies(r)
	r.need("live")
	r.oneOf("live-share", "purity")
	live := r.LiveRate("live")
	r.oddRate(live)
	var tag rate.Tag
	if r.Has("live-share") {
		tag = rate.Tag{Purity: r.WholeShare("live-share"), Germination: units.Whole}
		if tag.Purity == 0 {
			r.fail("--live-share: %q is no live seed: a share above 0%% and up to 100%% is wanted, such as 88.2%%", r.Text("live-share"))
		}
	} else {
		tag = readTag(r)
	}
	if r.err != nil {
		return result{}, r.err
	}
	share, err := tag.Live()
	if err != nil {
		return result{}, err
	}
	both, err := rate.BulkFromTag(live, tag)
	if err != nil {
		return result{}, err
	}
	return bulkResult(r.System, live, share, tag, both), nil
}

func bulkResult(system units.System, live units.RatePerArea, share rate.Live, tag rate.Tag, both rate.CoatedBulk) result {
	notes := tag.Cautions()
	lines := []string{"bulk rate " + both.ByLive.Format(system) + " at a live share of " + share.Share().String()}
	if tag.Coating > 0 {
		lines = append(lines, "or the same mass as uncoated seed, "+both.SameMass.Format(system))
	}
	return result{
		value: answer.RateBulk{BulkLbPerAc: answer.Number(both.ByLive.LbPerAcre()), BulkKgPerHa: answer.Number(both.ByLive.KgPerHa()), LiveShare: answer.Number(share),
			SameMassLbPerAc: answer.Number(both.SameMass.LbPerAcre()), SameMassKgPerHa: answer.Number(both.SameMass.KgPerHa()), Cautions: cautions(notes)},
		lines: append(lines, cautionLines(notes)...),
		steps: func(system units.System) ([]string, error) {
			first, err := tag.Explain(system)
			if err != nil {
				return nil, err
			}
			second, err := rate.ExplainBulk(live, share, system)
			return append(first, second...), err
		},
	}
}
