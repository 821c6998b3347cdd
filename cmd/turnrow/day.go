package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/sheet"
	"turnrow/client/words"
)

func newDayCommand(g *globals) *cobra.Command {
	return completePaper(task{
		use: "day", short: "Make the day sheet: what went where, at which rate, and who did what",
		long: `Make the day sheet. For each piece of ground: what went where (species, lot, tag,
live and bulk rate against the plan, with its uncertainty) and the acres by
counter and by map. Then dials and each change with who and why, catches, fills,
leftovers, signatures and holds, costs, doubts, the days to look for plants, and
cautions.

A note belongs to the day that its device's clock gave it, in the farm's time
zone. Without --date it is today, or the last day on which anything was written.
` + paperHelp,
		example: `  turnrow day
  turnrow day --date 2026-09-14 --out day.pdf
  turnrow day --out sown.csv
  turnrow day --out - --format csv --table dials`,
		flags: func(f *pflag.FlagSet) {
			f.String("date", "", "the day: 2026-09-14, today or yesterday")
			paperFlags(f)
		},
		work: makeDay,
	}.command(g))
}

func makeDay(k *call) error {
	p := k.paper()
	now := time.Now().In(k.zone())
	date := k.date("date", now)
	if err := k.wrong(); err != nil {
		return err
	}
	return k.slowly("making the day sheet", func(*progress) error {
		lines := k.farm.Lines()
		if days := sheet.Recorded(lines, now); !k.Has("date") {
			date = sheet.LatestDay(lines, now)
		} else if !days.Holds(date) {
			return wrongCall{fmt.Errorf("--date %s: the record here goes from %s to %s", date, days.From, days.To)}
		}
		return p.write(k.sheet(lines, sheet.Span{From: date, To: date}, now).DaySheet())
	})
}

// sheet works out what the record says of some days.
func (k *call) sheet(lines []words.Line, days sheet.Span, now time.Time) *sheet.Sheet {
	return sheet.Of(k.view(), lines, sheet.Options{Span: days, Zone: k.zone(), System: k.units(), Made: now, Knows: k.knows()})
}

// date reads a day; today where the flag was not given.
func (k *call) date(flag string, now time.Time) sheet.Day { return k.Day(flag, sheet.DayOf(now)) }
