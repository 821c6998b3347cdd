package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// callOn is a call that looks at a device's farm.
func (g *globals) callOn(d *device) (*call, error) {
	f, err := d.home.Farm()
	if err != nil {
		return nil, err
	}
	k := g.call(&cobra.Command{}, nil, d.home)
	if k.farm = f; f.Founding().Metric {
		k.System = units.Metric
	}
	return k, nil
}

// demoLines tell a crew how its day stands.
func (k *call) demoLines(a answer.Demo) []string {
	rests := sheet.RestsOf(k.view())
	lines := []string{"", "How the day stands, on every device:", ""}
	lines = append(lines, indent(k.boxTable(k.view().Boxes, rests))...)
	lines = append(lines, "")
	for _, g := range k.view().Grounds {
		lines = append(lines, "  "+k.groundHead(g, rests.Acres(&g)))
		lines = append(lines, indent(indent(append(k.sownTable(g, rests), restLines(g.Name, rests.Ground(&g))...)))...)
	}
	lines = append(lines, "", "The hitch:")
	lines = append(lines, indent(k.readyLines(k.view().Drills[0].ID))...)
	lines = append(lines, "", "Who changed a rate, when and why:")
	for _, l := range k.farm.Lines() {
		if l.Kind == entry.KindDialMoved {
			lines = append(lines, fmt.Sprintf("  %s  %s on %s: %s", k.clock(l.Wall), l.By, l.Device, l.What))
		}
	}
	lines = append(lines, "", "Still for a person to settle:")
	for d := range words.Doubts(k.view()) {
		if !d.Settled {
			lines = append(lines, indent(k.doubtLines(d))...)
		}
	}
	return append(append(lines, ""), replicaLines(a)...)
}

func replicaLines(a answer.Demo) []string {
	var rows [][]string
	for _, r := range a.Replicas {
		rows = append(rows, []string{r.Replica, fmt.Sprint(r.Entries), r.Digest})
	}
	end := "All four hold the same record."
	if !a.DigestsEqual {
		end = "THE REPLICAS DO NOT AGREE."
	}
	return append(table([]string{"device", "notes", "digest"}, rows), end)
}
