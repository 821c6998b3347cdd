package main

import (
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
	"turnrow/client/rough"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

func newGroundCommand(g *globals) *cobra.Command {
	return task{
		use: "ground", short: "Show each piece of ground: acres done, and what was sown against the plan",
		example: "  turnrow ground\n  turnrow ground --units metric", work: showGround,
	}.command(g)
}

func showGround(k *call) error {
	answers := []answer.Ground{}
	var lines []string
	rests := sheet.RestsOf(k.view())
	for _, g := range k.view().Grounds {
		on := rests.Ground(&g)
		answers = append(answers, k.report().Ground(g, on))
		lines = append(lines, k.groundHead(g, rests.Acres(&g)))
		lines = append(lines, indent(k.sownTable(g, rests))...)
		lines = append(lines, indent(restLines(g.Name, on))...)
	}
	if len(lines) == 0 {
		lines = []string{"No ground is set yet: turnrow set FILE sets it."}
	}
	return k.show(answers, append(lines, k.footer()...))
}

func (k *call) groundHead(g farm.Ground, on []words.Doubt) string {
	s := k.units()
	head := g.Name + ": " + marked(doneText(g, s), on)
	if g.Area > 0 {
		head += " of " + g.Area.Format(s)
	}
	if g.Finished {
		head += ", finished"
		if slices.ContainsFunc(on, func(d words.Doubt) bool { return d.Kind == farm.FinishedEarly }) {
			head += " ?"
		}
	}
	if g.SlopeSet {
		head += ", slope " + g.Slope.String()
	}
	if g.State != "" {
		head += ", " + g.State
	}
	return head
}

// doneText is how much of a piece is done.
func doneText(g farm.Ground, s units.System) string {
	switch {
	case g.Open && g.Done > 0:
		return "acres done not known, at least " + rough.Counted(g.Done).Format(s)
	case g.Open:
		return "acres done not known"
	case g.Done == 0:
		return "none done"
	}
	return rough.Counted(g.Done).Format(s) + " done"
}

// sownTable sets what was sown against what was planned, each seed of either.
func (k *call) sownTable(g farm.Ground, rests sheet.Rests) []string {
	s := k.units()
	var rows [][]string
	for _, o := range g.Sown {
		box, _ := k.view().BoxOf(o.Box)
		on := rests.Box(&box)
		row := []string{k.view().NameOf(o.Lot), k.view().NameOf(o.Box), marked(sownText(o, s), on), "not known", "not planned", ""}
		if o.Rate > 0 {
			row[3] = marked(o.Rate.Format(s), on)
		}
		if o.Aim > 0 {
			row[4] = o.Aim.Format(s)
		}
		if o.Aim > 0 && o.Rate > 0 {
			row[5] = marked(offAim(o.Rate, o.Aim), on)
		}
		rows = append(rows, row)
	}
	for _, p := range g.Plan {
		if wasSown(g, p) {
			continue
		}
		aim := words.Of(k.view()).Text(p.Why)
		if p.Bulk > 0 {
			aim = p.Bulk.Format(s)
		}
		rows = append(rows, []string{k.view().NameOf(p.Lot), k.view().NameOf(p.Box), "none yet", "", aim, ""})
	}
	return table([]string{"lot", "box", "sown", "rate", "aim", ""}, rows)
}

// sownText is how much of a seed went out.
func sownText(o farm.Sown, s units.System) string {
	switch {
	case o.Unknown > 0 && o.Mass > 0:
		return "at least " + rough.Poured(o.Mass, s)
	case o.Unknown > 0:
		return "not known"
	}
	return rough.Poured(o.Mass, s)
}

func wasSown(g farm.Ground, p farm.Planned) bool {
	for _, o := range g.Sown {
		if o.Lot == p.Lot && o.Box == p.Box {
			return true
		}
	}
	return false
}

// offAim says how far a rate is from its aim, in whole per cents.
func offAim(r, aim units.RatePerArea) string {
	off := (int64(r) - int64(aim)) * 100 / int64(aim)
	switch {
	case off > 0:
		return strconv.FormatInt(off, 10) + " % over"
	case off < 0:
		return strconv.FormatInt(-off, 10) + " % under"
	}
	return "as planned"
}

func indent(lines []string) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = "  " + l
	}
	return out
}
