package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// newRateCommand is the rate engine by itself: sums that need no store.
func newRateCommand(g *globals) *cobra.Command {
	c := group(&cobra.Command{
		Use:   "rate",
		Short: "Seeding arithmetic, without a store",
		Long: `Seeding arithmetic, without a store: from the tag on a bag to the plants that
stand. Quantities carry their units ("23 lb/ac", "7.5 in", 26g, "8' 2\""); a
bare number is taken in the usual unit of --units. Shares are written 98% or 98.

What is unlikely to be as it was given (rows 7.5 ft apart, a catch in pounds) is
told on stderr and, with --json, under "unlikely". It is worked out all the same,
since a sum writes nothing: the exit code is 0.

Rates come from published guidance and from what was weighed. Local extension
advice and licensed practice stand above them.`,
	})
	c.PersistentFlags().Bool("explain", false, "print the sum step by step, with units")
	c.AddCommand(
		newTagCommand(g), newBulkCommand(g), newSeedsCommand(g), newMixCommand(g), newOrderCommand(g),
		newWheelCommand(g), newCatchCommand(g), newAimCommand(g), newDialCommand(g), newEvennessCommand(g),
		newPaceCommand(g), newStandCommand(g), newGridCommand(g), newComeUpCommand(g), newSpeciesCommand(g), newAdviceCommand(g),
	)
	return c
}

// sum is one rate command: how it is called, its flags, and what it works out.
type sum struct {
	use, short, example string
	args                cobra.PositionalArgs // nil: none
	flags               func(*pflag.FlagSet)
	work                func(r *reading, args []string) (result, error)
}

// result is what a sum comes to: for programs, for people, and on paper.
type result struct {
	value any
	lines []string
	steps func(units.System) ([]string, error) // nil where there are none
}

// command makes a sum into a command. All that can be wrong with a sum is its
// input, so every error is a wrong call.
func (s sum) command(g *globals) *cobra.Command {
	c := &cobra.Command{Use: s.use, Short: s.short, Example: s.example, Args: s.args}
	if c.Args == nil {
		c.Args = cobra.NoArgs
	}
	if s.flags != nil {
		s.flags(c.Flags())
	}
	c.RunE = func(c *cobra.Command, args []string) error {
		r := g.reading(c)
		res, err := s.work(r, args)
		if r.err != nil {
			err = r.err
		}
		if err != nil {
			return wrongCall{err}
		}
		if len(r.odd) > 0 {
			for _, u := range r.odd {
				g.warn(unlikelyText(u))
			}
			res.value = answer.Doubted{Value: res.value, Unlikely: r.odd}
		}
		return g.showSum(c, res)
	}
	return c
}

// showSum prints a result, after its steps where they were asked for.
func (g *globals) showSum(c *cobra.Command, res result) error {
	explain, err := c.Flags().GetBool("explain")
	if err != nil {
		return err
	}
	if !explain {
		return g.show(res.value, res.lines)
	}
	var steps []string
	if res.steps != nil {
		if steps, err = res.steps(g.system); err != nil {
			return wrongCall{err}
		}
	}
	if g.json {
		return g.show(answer.Explained{Value: res.value, Steps: steps}, nil)
	}
	return g.show(nil, append(steps, res.lines...))
}

func cautions(list []rate.Caution) []answer.Caution {
	out := make([]answer.Caution, 0, len(list))
	for _, c := range list {
		out = append(out, answer.Caution{Text: c.Text, Source: c.Source})
	}
	return out
}

func cautionLines(list []rate.Caution) []string {
	var lines []string
	for _, c := range list {
		lines = append(lines, "caution: "+c.String())
	}
	return lines
}
