package main

import (
	"math"
	"strings"

	"turnrow/client/answer"
	"turnrow/client/rough"
	"turnrow/sync/farm"
)

func (k *call) sidesOf(b farm.Box) []answer.Side {
	out := []answer.Side{}
	if len(b.SidesNow) < 2 {
		return out
	}
	for _, n := range b.SidesNow {
		a := answer.Side{Side: sideName(b, n.Side), Rows: rowsFed(n.Rows), Lot: k.view().NameOf(n.Lot), Lb: answer.Number(n.Left.Pounds())}
		if n.DialSet {
			a.Dial = answer.Some(n.Dial.Float())
		}
		if n.Rate != nil {
			a.RateLbPerAc, a.RateLowLbPerAc, a.RateHighLbPerAc = answer.Some(n.Rate.Rate.LbPerAcre()), answer.Some(n.Rate.Low.LbPerAcre()), answer.Some(n.Rate.High.LbPerAcre())
		}
		if s := n.AcresLeft; s != nil {
			a.AcresLeft = &answer.Acres{P10: answer.Number(s.P10.Acres()), P50: answer.Number(s.P50.Acres()), P90: answer.Number(s.P90.Acres())}
		}
		out = append(out, a)
	}
	return out
}

// dialText is where a box's dial stands, or each of its sides'.
func dialText(b farm.Box) string {
	one := func(n farm.SideNow) string {
		if !n.DialSet {
			return "not known"
		}
		return b.DialText(n.Side, n.Dial)
	}
	if b.OneDial() {
		return one(b.SidesNow[0])
	}
	var parts []string
	for _, n := range b.SidesNow {
		parts = append(parts, sideName(b, n.Side)+" "+one(n))
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
		say := sideName(b, n.Side) + " gives what is not known"
		if n.Rate != nil {
			say = sideName(b, n.Side) + " gives " + n.Rate.Rate.Format(s) + " on its " + rowsText(n.Rows)
		}
		if n.AcresLeft != nil && n.Left > 0 {
			say += ", lasts for " + rough.AreaTenths(n.AcresLeft.P50, s, math.Round)
		}
		parts = append(parts, say)
	}
	return strings.Join(parts, "; ")
}

// rowsFed is how many rows a side feeds, if that is known.
func rowsFed(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

func rowsText(n int) string {
	if n == 0 {
		return "rows"
	}
	return counted(n, "row")
}
