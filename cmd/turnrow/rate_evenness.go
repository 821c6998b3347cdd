package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newEvennessCommand(g *globals) *cobra.Command {
	return sum{
		use: "evenness", short: "How alike the rows are, and which are likely blocked",
		example: `  turnrow rate evenness --row-masses 24,26,25,9,25`,
		flags: func(f *pflag.FlagSet) {
			f.String("row-masses", "", "masses row by row, as 24,26,25 (bare numbers are grams)")
		},
		work: func(r *reading, _ []string) (result, error) {
			r.need("row-masses")
			rows, _ := r.RowMasses("row-masses")
			if r.err != nil {
				return result{}, r.err
			}
			e, err := rate.EvennessOf(rows)
			if err != nil {
				return result{}, err
			}
			return evennessResult(rows, e), nil
		},
	}.command(g)
}

func evennessResult(rows []units.Mass, e rate.Evenness) result {
	a := answer.RateEvenness{MeanG: answer.Number(e.Mean.Grams()), SdG: answer.Number(e.Deviation.Grams()), CVPercent: answer.Number(100 * e.CV),
		Blocked: append([]int{}, e.Blocked...)}
	lines := []string{fmt.Sprintf("mean %s a row, coefficient of variation %.1f %%", e.Mean.FormatGrams(), 100*e.CV)}
	for i, d := range e.Departures {
		a.Departures = append(a.Departures, answer.Number(d))
		lines = append(lines, fmt.Sprintf("row %d: %s, %+.1f %%", i+1, rows[i].FormatGrams(), 100*d))
	}
	if len(e.Blocked) > 0 {
		lines = append(lines, "likely blocked: row "+strings.Trim(fmt.Sprint(e.Blocked), "[]"))
	}
	return result{value: a, lines: lines, steps: func(s units.System) ([]string, error) { return rate.ExplainEvenness(rows, s) }}
}
