package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/words"
	"turnrow/sync/farm"
)

func newDoubtsCommand(g *globals) *cobra.Command {
	return task{
		use: "doubts", short: "Show what only a person can settle",
		long: `Show what only a person can settle: a dial that two people moved apart, a box
that two may have filled once, ground worked while the drill was not ready. Each
says what to go and look at. Nothing anyone wrote is lost; "turnrow settle" says
which stands.`,
		example: "  turnrow doubts\n  turnrow doubts --all",
		flags:   func(f *pflag.FlagSet) { f.Bool("all", false, "the settled ones too (with --json they always come)") },
		work:    showDoubts,
	}.command(g)
}

func showDoubts(k *call) error {
	all, err := k.cmd.Flags().GetBool("all")
	if err != nil {
		return err
	}
	answers := []answer.Doubt{}
	var lines []string
	settled := 0
	for d := range words.Doubts(k.view()) {
		answers = append(answers, k.report().Doubt(d))
		if d.Settled {
			settled++
		}
		if !d.Settled || all {
			lines = append(lines, k.doubtLines(d)...)
		}
	}
	if len(answers) == settled {
		lines = append(lines, "Nothing is in doubt.")
	}
	if settled > 0 && !all {
		lines = append(lines, counted(settled, "doubt")+" settled: turnrow doubts --all")
	}
	return k.show(answers, append(lines, k.onlyHere()...))
}

// doubtLines put a doubt plainly: what, who wrote what and when, where to look,
// how to settle it.
func (k *call) doubtLines(d words.Doubt) []string {
	lines := []string{fmt.Sprintf("%s  %s (%s): %s", d.ID(), words.Kind(d.Kind), d.Kind, d.About)}
	for _, id := range d.Entries {
		if l, err := k.line(id); err == nil {
			lines = append(lines, fmt.Sprintf("    %s %s on %s: %s (%s)", k.clock(l.Wall), l.By, l.Device, l.What, k.short(id)))
		}
	}
	if d.Settled {
		l, err := k.line(d.By)
		if err != nil {
			return append(lines, "    settled")
		}
		return append(lines, "    "+l.By+" "+l.What)
	}
	if d.Why != "" {
		lines = append(lines, "    "+d.Why)
	}
	if d.Look != "" {
		lines = append(lines, "    "+d.Look)
	}
	return append(lines, k.howToSettle(d)...)
}

func (k *call) howToSettle(d words.Doubt) []string {
	if d.Kind == farm.TwoSettings {
		return []string{fmt.Sprintf("    turnrow settle %s --stands WHAT-THE-DIAL-SHOWS --why ..", d.ID())}
	}
	var lines []string
	for _, c := range d.Choices {
		lines = append(lines, fmt.Sprintf("    turnrow settle %s --stands %s --why ..   %s", d.ID(), c.Word, c.What))
	}
	return lines
}
