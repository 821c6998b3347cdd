package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
)

func newNoteCommand(g *globals) *cobra.Command {
	return task{
		use: "note TEXT", short: "Write a note, about the day or about something",
		example: `  turnrow note "wet spot by the gate, drilled round it"
  turnrow note "rows 7 and 8 plugged" --about box:legume
  turnrow note "that was the old lot" --about 4f2a1c/12`,
		args: atLeast(1),
		flags: func(f *pflag.FlagSet) {
			f.String("about", "", "what it is about: box:NAME, ground:NAME, lot:NAME, drill:NAME, or another note")
		},
		work: func(k *call) error {
			b := client.Note{Text: strings.Join(k.args, " ")}
			if k.Has("about") {
				about, err := k.thing(k.Text("about"))
				if err != nil {
					return err
				}
				b.About = about
			}
			return k.wrote(b)
		},
	}.command(g)
}

func newStrikeCommand(g *globals) *cobra.Command {
	return task{
		use: "strike NOTE --why T", short: "Strike a note: it counts no longer, and stays in the log",
		example: `  turnrow strike 4f2a1c/12 --why "wrong box"`,
		args:    exactly(1),
		flags:   func(f *pflag.FlagSet) { f.String("why", "", "why") },
		work: func(k *call) error {
			k.need("why")
			if err := k.wrong(); err != nil {
				return err
			}
			id, err := k.entryNamed(k.args[0])
			if err != nil {
				return err
			}
			return k.wrote(client.Strike{Entry: id, Why: k.Text("why")})
		},
	}.command(g)
}
