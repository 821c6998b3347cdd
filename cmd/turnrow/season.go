package main

import (
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/sheet"
	"turnrow/client/words"
)

func newSeasonCommand(g *globals) *cobra.Command {
	return completePaper(task{
		use: "season", short: "Make the season's sheet: every piece, seed bought, used and left, and the money",
		long: `Make the season's sheet over many days: each piece of ground day by day and in
all, seed that was bought, used and is left, the money to the cent, stand counts,
and doubts. Without --from and --to it takes in the whole record.
` + paperHelp,
		example: `  turnrow season
  turnrow season --from 2026-08-01 --to 2026-10-31 --out season.pdf
  turnrow season --out money.csv --table bill`,
		flags: func(f *pflag.FlagSet) {
			spanFlags(f)
			paperFlags(f)
		},
		work: func(k *call) error {
			return k.overDays("making the season's sheet", func(s *sheet.Sheet) *sheet.Document { return s.Season() })
		},
	}.command(g))
}

func newLotCommand(g *globals) *cobra.Command {
	return completePaper(task{
		use: "lot NAME", short: "Trace a seed lot: every piece that got it, and where the rest is",
		long: `Trace a seed lot: every piece of ground that got it, when, at which rate, and
where the rest of it is. For a lot that turns out bad, or that somebody asks
about.
` + paperHelp,
		example:   "  turnrow lot O-1\n  turnrow lot R-7 --out R-7.pdf",
		args:      exactly(1),
		completes: lotNames,
		flags: func(f *pflag.FlagSet) {
			spanFlags(f)
			paperFlags(f)
		},
		work: func(k *call) error {
			l, err := k.lot(k.args[0])
			if err != nil {
				return err
			}
			return k.overDays("tracing the lot", func(s *sheet.Sheet) *sheet.Document { return s.Trace(l) })
		},
	}.command(g))
}

func spanFlags(f *pflag.FlagSet) {
	f.String("from", "", "the first day: 2026-09-14, today or yesterday (default the record's first)")
	f.String("to", "", "the last day, likewise (default the record's last)")
}

// overDays makes a document of the days that --from and --to say, or of all.
func (k *call) overDays(what string, lay func(*sheet.Sheet) *sheet.Document) error {
	p := k.paper()
	now := time.Now().In(k.zone())
	from, to := k.date("from", now), k.date("to", now)
	if err := k.wrong(); err != nil {
		return err
	}
	return k.slowly(what, func(*progress) error {
		lines := k.farm.Lines()
		span := k.span(lines, from, to, now)
		if err := k.wrong(); err != nil {
			return err
		}
		return p.write(lay(k.sheet(lines, span, now)))
	})
}

func (k *call) span(lines []words.Line, from, to sheet.Day, now time.Time) sheet.Span {
	all := sheet.Recorded(lines, now)
	span, ok := sheet.Days(lines, now.Location())
	if !ok {
		span = all
	}
	if k.Has("to") {
		span.To = to
	}
	if k.Has("from") {
		span.From = from
	}
	switch {
	case k.Has("from") && k.Has("to") && from > to:
		k.fail("--from %s is after --to %s", from, to)
	case span.From > all.To:
		k.fail("--from %s is yet to come: the record here goes from %s to %s", from, all.From, all.To)
	case span.To < all.From:
		k.fail("--to %s is before anything was written: the record here goes from %s to %s", to, all.From, all.To)
	}
	return sheet.Span{From: span.From, To: max(span.From, span.To)}
}
