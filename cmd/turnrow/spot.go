package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/entry"
)

func newSpotCommand(g *globals) *cobra.Command {
	c := group(&cobra.Command{
		Use: "spot", Short: "Spots of ground to know of: a stone, a thin spot, a blocked row",
		Long: `Spots of ground that whoever drives, or counts plants later, should know of. A
spot is on a piece of ground, or at a place on the map, or both.`,
	})
	note := task{
		use: "note WHAT (--ground NAME | --at \"LAT LON\")", short: "Note a spot: thin, blocked row, stone, or other",
		example: `  turnrow spot note stone --ground bench --row 4 --text "size of a bucket"
  turnrow spot note thin --ground bench --length "40 ft" --width "10 ft"
  turnrow spot note other --at "41.23456 -77.12345" --within 5 --text "wet, drilled round it"`,
		args: exactly(1), flags: spotFlags, work: spotNote,
	}.command(g)
	note.ValidArgsFunction = cobra.FixedCompletions(entry.PinnedWords(), cobra.ShellCompDirectiveNoFileComp)
	g.completeFlags(note, map[string]names{"ground": groundNames})
	c.AddCommand(note,
		task{use: "gone NOTE", short: "Record that a spot is no longer there", args: exactly(1),
			example: `  turnrow spot gone 4f2a1c/17 --text "dug out"`,
			flags:   func(f *pflag.FlagSet) { f.String("text", "", "what else there is to say") }, work: spotGone}.command(g),
		task{use: "show [GROUND]", short: "Show the spots on a piece of ground, or all", args: atMost(1), completes: groundNames,
			example: "  turnrow spot show bench\n  turnrow spot show --json", work: spotShow}.command(g),
	)
	return c
}

func spotFlags(f *pflag.FlagSet) {
	f.String("ground", "", "piece of ground that it is on")
	f.String("at", "", "latitude and longitude in degrees, as a map or a phone shows them")
	f.String("within", "", "how far off that may be; a bare number is metres")
	f.String("length", "", "how long it is, as \"40 ft\"")
	f.String("width", "", "how wide it is, as \"10 ft\"")
	f.String("row", "", "row of the drill, counted from 1 on the left")
	f.String("text", "", "what else there is to say; needed where it is other")
}

func spotNote(k *call) error {
	what, ok := entry.ParsePinned(strings.ToLower(k.args[0]))
	if !ok {
		return wrongCall{fields.NoSuch("spot", "spots", k.args[0], entry.PinnedWords())}
	}
	s := k.Spot(what)
	if !k.Has("ground") && !k.Has("at") {
		k.fail("one of --ground, --at is missing%s", exampleOf(k.cmd))
	}
	if k.Has("within") && !k.Has("at") {
		k.fail("--within: it goes with --at")
	}
	if s.What == entry.PinnedOther {
		k.need("text")
	}
	if err := k.wrong(); err != nil {
		return err
	}
	if k.Has("ground") {
		g, err := k.ground(k.Text("ground"))
		if err != nil {
			return err
		}
		s.Ground = g.ID
	}
	return k.wrote(s)
}

func spotGone(k *call) error {
	id, err := k.entryNamed(k.args[0])
	if err != nil {
		return err
	}
	if _, ok := k.view().SpotOf(id); !ok {
		return fmt.Errorf("%s is no spot: turnrow spot show lists them", k.args[0])
	}
	return k.wrote(client.SpotGone{Spot: id, Text: k.Text("text")})
}

func spotShow(k *call) error {
	var on entry.ID
	if len(k.args) > 0 {
		g, err := k.ground(k.args[0])
		if err != nil {
			return err
		}
		on = g.ID
	}
	answers := []answer.Spot{}
	var rows [][]string
	for _, p := range k.view().SpotsOn(on) {
		answers = append(answers, k.report().Spot(p))
		rows = append(rows, k.noteRow(p.ID, &p.Said, p.ID))
	}
	return k.show(answers, notesTable(rows, "No spot is noted."))
}

// noteRow is a note in a table: what it comes to, and who wrote that last, when.
func (k *call) noteRow(id entry.ID, now entry.Body, by entry.ID) []string {
	row := []string{k.short(id), k.farm.Tell(now), "", ""}
	if l, err := k.line(by); err == nil {
		row[2], row[3] = l.By, k.clock(l.Wall)
	}
	return row
}

// notesTable is a table of notes, or a sentence where there is none.
func notesTable(rows [][]string, none string) []string {
	if len(rows) == 0 {
		return []string{none}
	}
	return table([]string{"note", "what", "who", "when"}, rows)
}
