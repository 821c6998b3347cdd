package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newMixCommand(g *globals) *cobra.Command {
	return sum{
		use: "mix", short: "Rates of a mix, and the one rate of the box that its parts share",
		example: `  turnrow rate mix --by stand --part "tall fescue; share 60%; full 14 lb/ac; live 84%" \
    --part "white clover; share 25%; full 4 lb/ac; live 50%"
  turnrow rate mix --by mass --bulk "20 lb/ac" --part "orchardgrass; share 70%; live 80%" --part "red clover; share 30%; live 90%"
  turnrow rate mix --by seeds --part "orchardgrass; seeds 40/ft2; live 80%" --part "red clover; seeds 20/ft2; live 90%"`,
		flags: func(f *pflag.FlagSet) {
			f.String("by", "stand", "what the parts say: a share of their full stand, a share of the mass, or live seeds: stand, mass or seeds")
			f.String("bulk", "", "bulk rate of the whole mix, with --by mass")
			f.StringArray("part", nil, "name; share P; full RATE; live P; seeds N/ft2; seeds-per-lb N: what --by wants, and live")
		},
		work: workMix,
	}.command(g)
}

func workMix(r *reading, _ []string) (result, error) {
	var parts []rate.Component
	for _, text := range r.Each("part") {
		parts = append(parts, readComponent(r, text))
	}
	if len(parts) == 0 {
		r.fail("--part is missing")
	}
	bulk := r.Rate("bulk")
	if r.err != nil {
		return result{}, r.err
	}
	m, err := makeMix(r.Text("by"), bulk, parts)
	if err != nil {
		return result{}, err
	}
	return mixResult(m, r.System), nil
}

func makeMix(by string, bulk units.RatePerArea, parts []rate.Component) (rate.Mix, error) {
	switch {
	case by == "mass" && bulk == 0:
		return rate.Mix{}, errors.New("--bulk is missing")
	case by == "mass":
		return rate.MixByMass(bulk, parts)
	case by == "seeds":
		return rate.MixBySeeds(parts)
	case by == "stand":
		return rate.MixByStand(parts)
	}
	return rate.Mix{}, fmt.Errorf("--by: %q is none of stand, mass, seeds", by)
}

// readComponent reads "name; key value; key value". A species that is built in
// brings its seed count.
func readComponent(r *reading, text string) rate.Component {
	fields := strings.Split(text, ";")
	c := rate.Component{Name: strings.TrimSpace(fields[0]), Live: 1}
	if s, err := rate.FindSpecies(c.Name); err == nil {
		if count, ok := s.SeedCount(); ok {
			c.Size = count.Size
		}
	}
	for _, field := range fields[1:] {
		key, value, _ := strings.Cut(strings.TrimSpace(field), " ")
		setComponent(r, &c, key, value)
	}
	return c
}

func setComponent(r *reading, c *rate.Component, key, value string) {
	var err error
	switch key {
	case "share":
		c.Share = fields.ReadText(r.Reader, "part", value, units.ParseShare)
	case "full":
		c.Full = fields.ReadText(r.Reader, "part", value, units.ParseRate, r.Bare("lb/ac", "kg/ha"), units.Live())
	case "live":
		c.Live, err = rate.LiveFrom(fields.ReadText(r.Reader, "part", value, units.ParseShare, units.Fraction()))
	case "seeds":
		c.Seeds = fields.ReadText(r.Reader, "part", value, units.ParseDensity, r.Bare("/ft2", "/m2"))
	case "seeds-per-lb":
		c.Size, err = rate.SeedsPerPound(fields.ReadText(r.Reader, "part", value, units.ParseCount))
	default:
		err = fmt.Errorf("%q is none of share, full, live, seeds, seeds-per-lb", key)
	}
	if err != nil {
		r.fail("--part: %s: %w", c.Name, err)
	}
}

func mixResult(m rate.Mix, system units.System) result {
	a := answer.RateMix{BulkLbPerAc: answer.Number(m.Bulk.LbPerAcre()), BulkKgPerHa: answer.Number(m.Bulk.KgPerHa()),
		LiveLbPerAc: answer.Number(m.Live.LbPerAcre()), SeedsPerFt2: answer.Number(m.Seeds.PerSquareFoot())}
	for _, p := range m.Parts {
		a.Parts = append(a.Parts, answer.MixPart{Name: p.Name, LiveLbPerAc: answer.Number(p.Live.LbPerAcre()), BulkLbPerAc: answer.Number(p.Bulk.LbPerAcre()),
			BulkKgPerHa: answer.Number(p.Bulk.KgPerHa()), MassShare: answer.Number(p.OfMass.Fraction()), SeedsPerFt2: answer.Number(p.Seeds.PerSquareFoot())})
	}
	return result{value: a, lines: m.Explain(system)}
}
