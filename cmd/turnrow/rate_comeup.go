package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/sync/rate"
)

func newComeUpCommand(g *globals) *cobra.Command {
	return sum{
		use: "comeup", short: "Days to look for a species after sowing, and what is late",
		example: `  turnrow rate comeup --species "tall fescue" --sown 2026-09-12
  turnrow rate comeup --species "red clover" --sown 2026-09-12 --on 2026-09-30`,
		flags: func(f *pflag.FlagSet) {
			f.String("species", "", "species, as \"tall fescue\"")
			f.String("sown", "", "day of sowing, as 2026-09-12")
			f.String("on", "", "a day on which no plants show")
		},
		work: workComeUp,
	}.command(g)
}

func workComeUp(r *reading, _ []string) (result, error) {
	r.need("species", "sown")
	species, _ := readSpecies(r)
	sown, on := readDay(r, "sown"), readDay(r, "on")
	if r.err != nil {
		return result{}, r.err
	}
	first, last, source, ok := rate.ComeUpDays(species)
	if !ok {
		return result{}, fmt.Errorf("--species: no days to come up are built in for %s", species.Name)
	}
	c, err := rate.ComeUpFrom(sown, first, last)
	if err != nil {
		return result{}, err
	}
	a := answer.RateComeUp{First: dayText(c.First), Last: dayText(c.Last), Late: dayText(c.Late), Source: source.String()}
	lines := []string{
		fmt.Sprintf("%s: look from %s to %s; late from %s", species.Name, a.First, a.Last, a.Late),
		"days of a germination test in warm, moist soil (" + a.Source + "); colder or drier is later",
	}
	if r.Has("on") {
		a.Showing = string(c.On(on))
		lines = append(lines, "nothing to see on "+dayText(on)+": "+a.Showing)
	}
	return result{value: a, lines: lines}, nil
}

const secondsPerDay = 24 * 60 * 60

// readDay reads a date as the days since 1970-01-01.
func readDay(r *reading, flag string) int64 {
	if !r.Has(flag) {
		return 0
	}
	day, err := time.Parse(time.DateOnly, r.Text(flag))
	if err != nil {
		r.fail("--%s: %q is no day; one is wanted such as 2026-09-12", flag, r.Text(flag))
	}
	return day.Unix() / secondsPerDay
}

func dayText(day int64) string {
	return time.Unix(day*secondsPerDay, 0).UTC().Format(time.DateOnly)
}
