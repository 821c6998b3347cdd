package main

import (
	"math"
	"strings"

	"turnrow/client/report"
	"turnrow/client/rough"
	"turnrow/client/words"
	"turnrow/sync/farm"
)

// dialText is where a box's dial stands, or each of its sides'.
func dialText(b farm.Box) string {
	one := func(n farm.SideNow) string {
		if !n.DialSet {
			return "not known"
		}
		return words.Mark(b, n.Side, n.Dial)
	}
	if b.OneDial() {
		return one(b.SidesNow[0])
	}
	var parts []string
	for _, n := range b.SidesNow {
		parts = append(parts, report.SideName(b, n.Side)+" "+one(n))
	}
	return strings.Join(parts, ", ")
}

// sideAdvice says what each side gives and how far it goes, where they differ.
func (k *call) sideAdvice(b farm.Box) string {
	if len(b.SidesNow) < 2 || b.OneDial() {
		return ""
	}
	s := k.units()
	var parts []string
	for _, n := range b.SidesNow {
		say := report.SideName(b, n.Side) + " gives what is not known"
		if n.Rate != nil {
			say = report.SideName(b, n.Side) + " gives " + n.Rate.Rate.Format(s) + " on its " + rowsText(n.Rows)
		}
		if n.AcresLeft != nil && n.Left > 0 {
			say += ", lasts for " + rough.AreaTenths(n.AcresLeft.P50, s, math.Round)
		}
		parts = append(parts, say)
	}
	return strings.Join(parts, "; ")
}

func rowsText(n int) string {
	if n == 0 {
		return "rows"
	}
	return counted(n, "row")
}
