package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// tagFlags are what a seed tag says.
func tagFlags(f *pflag.FlagSet) {
	f.String("purity", "", "pure seed, as 98%")
	f.String("germination", "", "germination, as 90%")
	f.String("hard", "", "hard or dormant seed beside the germination, as 5%")
	f.String("hard-counted", "", "how much of the hard seed counts as live (default 100%)")
	f.String("coating", "", "coating by mass, where the tag tells it, as 34%")
	f.String("inert", "", "inert matter, as 1.5%; with the tag's other shares it tells whether the purity counts the coating")
	f.String("other-crop", "", "other crop seed, as 0.5%")
	f.String("weed-seed", "", "weed seed, as 0.1%")
	f.String("coating-counted", "", "in or apart: what the purity is a share of, where the shares do not tell: all that is in the bag, coating and all, or the seed without its coating")
}

// readCounted reads --coating-counted.
func readCounted(r *reading) rate.CoatingCounted {
	for _, c := range []rate.CoatingCounted{rate.CoatingIn, rate.CoatingApart} {
		if r.Text("coating-counted") == c.String() {
			return c
		}
	}
	if r.Has("coating-counted") {
		r.fail("--coating-counted: %q is neither in nor apart", r.Text("coating-counted"))
	}
	return rate.CoatingNotSaid
}

func readTag(r *reading) rate.Tag {
	r.need("purity", "germination")
	t := rate.Tag{Purity: r.WholeShare("purity"), Germination: r.WholeShare("germination"),
		Hard: r.Share("hard"), Coating: r.Share("coating"), OtherCrop: r.Share("other-crop"), WeedSeed: r.Share("weed-seed"),
		Inert: r.Share("inert"), Counted: readCounted(r)}
	r.oddTag(t)
	if r.Has("hard-counted") {
		t.HardLeftOut = units.Whole - r.WholeShare("hard-counted")
	}
	return t
}

func newTagCommand(g *globals) *cobra.Command {
	return sum{
		use: "tag", short: "Live share of a bag of seed from its tag",
		example: `  turnrow rate tag --purity 98% --germination 90%
  turnrow rate tag --purity 99% --germination 75% --hard 15% --explain
  turnrow rate tag --purity 64% --coating 34% --inert 1.5% --other-crop 0.5% --germination 90%
  turnrow rate tag --purity 98% --germination 85% --coating 34% --tested 2025-08 --sown 2026-09`,
		flags: func(f *pflag.FlagSet) {
			tagFlags(f)
			f.String("tested", "", "month of the germination test, as 2026-06")
			f.String("sown", "", "month of sowing, as 2026-09")
			f.Int("limit", 12, "months that the test holds for, by the tag's state: 9 to 15")
		},
		work: workTag,
	}.command(g)
}

func workTag(r *reading, _ []string) (result, error) {
	t := readTag(r)
	notes := append(t.Cautions(), oldTest(r)...)
	if r.err != nil {
		return result{}, r.err
	}
	live, err := t.Live()
	var unclear *rate.CoatingUnclear
	if errors.As(err, &unclear) {
		err = fmt.Errorf("%w: --coating-counted in, or --coating-counted apart", err)
	}
	if err != nil {
		return result{}, err
	}
	bare, err := t.BareLive()
	if err != nil {
		return result{}, err
	}
	lines := []string{"live share " + live.Share().String()}
	counted := ""
	if t.Coating > 0 {
		lines = append(lines, "without the coating "+bare.Share().String())
		way, _ := t.CountedCoating()
		counted = way.String()
	}
	return result{
		value: answer.RateTag{LiveShare: answer.Number(live), BareLiveShare: answer.Number(bare), Counted: counted, Cautions: cautions(notes)},
		lines: append(lines, cautionLines(notes)...),
		steps: t.Explain,
	}, nil
}

// oldTest is the caution about an old germination test, if there is one.
func oldTest(r *reading) []rate.Caution {
	if !r.Has("tested") && !r.Has("sown") {
		return nil
	}
	r.need("tested", "sown")
	limit, err := r.cmd.Flags().GetInt("limit")
	if err != nil {
		r.fail("--limit: %w", err)
	}
	c, err := rate.OldTest(month(r, "tested"), month(r, "sown"), limit)
	switch {
	case r.err != nil:
	case err != nil:
		r.fail("%w", err)
	case c != nil:
		return []rate.Caution{*c}
	}
	return nil
}

// month reads year and month, and lets a day follow them.
func month(r *reading, flag string) (m rate.TestMonth) {
	var day int
	text := r.Text(flag)
	if n, err := fmt.Sscanf(text+"-1", "%4d-%2d-%2d", &m.Year, &m.Month, &day); n != 3 || err != nil {
		r.fail("--%s: %q is no month; one is wanted such as 2026-06", flag, text)
	}
	return m
}
