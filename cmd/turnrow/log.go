package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/client/nearest"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newLogCommand(g *globals) *cobra.Command {
	c := task{
		use: "log", short: "Show who wrote what, when and why: the audit, in order",
		long: `Show who wrote what, when and why, in an order that puts nothing before what its
writer knew. Times are each device's own clock. What was struck or amended is
shown as it was written.`,
		example: `  turnrow log --since 2h
  turnrow log --box grain --kind dial-moved
  turnrow log --person Ben --since 06:00`,
		flags: func(f *pflag.FlagSet) {
			f.String("box", "", "only what is about this box")
			f.String("ground", "", "only what is about this piece of ground")
			f.String("lot", "", "only what is about this lot")
			f.String("person", "", "only what this person wrote")
			f.String("kind", "", "only this kind, such as dial-moved, filled, noted")
			f.String("since", "", "only from then on: 2h, 06:00 today, 2026-09-14, or \"2026-09-14 06:00\"")
		},
		work: showLog,
	}.command(g)
	g.completeFlags(c, map[string]names{"box": boxNames, "ground": groundNames, "lot": lotNames, "person": crewNames})
	_ = c.RegisterFlagCompletionFunc("kind", cobra.FixedCompletions(kindNames(), cobra.ShellCompDirectiveNoFileComp))
	return c
}

func kindNames() []string {
	var list []string
	for k := range entry.Kinds() {
		list = append(list, k.String())
	}
	return list
}

// lineFilter says which lines are wanted.
type lineFilter struct {
	about  []entry.ID // any of these things; none: all
	person string
	kind   entry.Kind
	since  int64 // ms since 1970
}

func showLog(k *call) error {
	f, err := k.lineFilter()
	if err != nil {
		return err
	}
	lines := slices.DeleteFunc(k.farm.Lines(), func(l words.Line) bool { return !f.wants(l) })
	if day := sheet.DayOf(time.UnixMilli(f.since).In(k.zone())); len(lines) == 0 && day > k.today() {
		return wrongCall{fmt.Errorf("--since %s is yet to come: it is %s today by this device's clock", k.Text("since"), k.today())}
	}
	return k.showLines(lines)
}

func (k *call) lineFilter() (f lineFilter, err error) {
	if name := k.Text("kind"); name != "" {
		kind, ok := entry.ParseKind(name)
		if !ok {
			k.fail("--kind: unknown kind %q; %s", name, nearest.Hint(name, "kinds", kindNames()))
		}
		f.kind = kind
	}
	if k.Has("since") {
		t, err := fields.Moment(k.Text("since"), time.Now().In(k.zone()))
		if f.since = t.UnixMilli(); err != nil {
			k.fail("--since: %w", err)
		}
	}
	if err := k.wrong(); err != nil {
		return f, err
	}
	for _, kind := range []string{"box", "ground", "lot"} {
		if !k.Has(kind) {
			continue
		}
		id, err := k.thing(kind + ":" + k.Text(kind))
		if err != nil {
			return f, err
		}
		f.about = append(f.about, id)
	}
	if f.person = k.Text("person"); f.person != "" {
		_, err = fields.Named("person", "people", f.person, k.view().Crew, func(m *farm.Member) string { return m.Name })
	}
	return f, err
}

func (f lineFilter) wants(l words.Line) bool {
	return (f.person == "" || strings.EqualFold(f.person, l.By)) && (f.kind == 0 || f.kind == l.Kind) && l.Wall >= f.since &&
		(len(f.about) == 0 || slices.ContainsFunc(f.about, func(id entry.ID) bool { return concerns(l, id) }))
}

// concerns says whether a line is about a thing, or made it.
func concerns(l words.Line, id entry.ID) bool { return l.ID == id || slices.Contains(l.About, id) }

func (k *call) showLines(lines []words.Line) error {
	answers := []answer.Line{}
	var rows [][]string
	for _, l := range lines {
		answers = append(answers, k.report().Line(l))
		rows = append(rows, []string{k.clock(l.Wall), l.By, k.deviceOf(l), k.short(l.ID), l.What + standing(l)})
	}
	text := table([]string{"when", "who", "on", "note", "what"}, rows)
	if len(rows) == 0 {
		text = []string{"Nothing."}
	}
	return k.show(answers, append(text, k.onlyHere()...))
}

// deviceOf is the device of a line, and whose it is where it is not its
// writer's own.
func (k *call) deviceOf(l words.Line) string {
	if l.On == (farm.On{}) {
		return l.Device
	}
	return l.Device + " (" + k.view().NameOf(l.On.Whose) + "'s)"
}

func standing(l words.Line) string {
	switch {
	case l.LeftOut != "":
		return " [does not count: " + client.WhyNot(l) + "]"
	case l.Void != "":
		return " [void: " + l.Void + "]"
	case l.Struck:
		return " [struck]"
	case l.Amended:
		return " [amended]"
	}
	return ""
}
