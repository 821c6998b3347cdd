package main

import (
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/sheet"
)

func newCalendarCommand(g *globals) *cobra.Command {
	return task{
		use: "calendar", short: "When to look for plants and count stands, also as a calendar file",
		long: `Show when to look for the plants of what was sown, and from when on to count the
stand: too early says nothing, and sends people to re-seed for nothing. With
--out the days go into a calendar file (iCalendar, RFC 5545) that phones and
computers take in; taken in twice, each day shows once.`,
		example: `  turnrow calendar
  turnrow calendar --out looks.ics
  turnrow calendar --out - | mail -s "look at the seeding" ada`,
		flags: func(f *pflag.FlagSet) {
			spanFlags(f)
			f.String("out", "", "FILE.ics; - for standard output")
		},
		work: makeCalendar,
	}.command(g)
}

func makeCalendar(k *call) error {
	now := time.Now().In(k.zone())
	from, to := k.date("from", now), k.date("to", now)
	if k.json && k.Text("out") == "-" {
		k.fail("--json and --out - both want standard output: give one")
	}
	if err := k.wrong(); err != nil {
		return err
	}
	lines := k.farm.Lines()
	span := k.span(lines, from, to, now)
	if err := k.wrong(); err != nil {
		return err
	}
	return k.putCalendar(k.sheet(lines, span, now), k.Text("out"))
}

func (k *call) putCalendar(s *sheet.Sheet, out string) error {
	if out == "-" {
		_, err := s.Calendar(k.papers())
		return err
	}
	answers, rows := []answer.Look{}, [][]string(nil)
	for _, l := range s.Looks() {
		sown := l.Sown.From.String()
		if l.Sown.To != l.Sown.From {
			sown += " to " + l.Sown.To.String()
		}
		answers = append(answers, answer.Look{Ground: l.Name, Species: l.Species, Sown: l.Sown.From.String(), First: l.First.String(), Last: l.Last.String(), Count: l.Count.String()})
		rows = append(rows, []string{l.Name, l.Species, sown, l.First.String(), l.Last.String(), l.Count.String()})
	}
	text := table([]string{"ground", "species", "sown", "first may show", "all should show", "count the stand from"}, rows)
	if len(rows) == 0 {
		text = []string{"Nothing was sown on these days that the built-in table has days for."}
	}
	if out != "" {
		n := 0
		err := writeWhole(k.path(out), func(w io.Writer) (err error) {
			n, err = s.Calendar(w)
			return err
		})
		if err != nil {
			return err
		}
		text = append(text, fmt.Sprintf("%s in %s.", counted(n, "event"), out))
	}
	return k.show(answers, text)
}
