package work

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Untied says whether the box's dial has marks and no chart leads to a setting:
// 1-2 is not twice 1-1. Then a mark's own measurements alone tell what the box
// gives there.
func (f *Flow) Untied(l entry.ID, d units.Dial) bool {
	return len(f.Work.MarksOf(f.Box.ID, 0)) > 0 && !Charted(ChartOf(f.Box, f.Work.SpeciesOf(l)), d)
}

// waysAt is the box's curves for a lot that are good at a setting.
func (f *Flow) waysAt(l entry.ID, dial units.Dial) caughtWays {
	if !f.Untied(l, dial) {
		return f.Ways(l)
	}
	here := func(list []caughtAt) []caughtAt {
		return slices.DeleteFunc(list, func(c caughtAt) bool { return c.m.Dial != dial })
	}
	standing, moving := f.Work.caughtOf(f.Box, f.Drill, l)
	standing, moving = here(standing), here(moving)
	if len(standing) == 0 {
		standing, moving = moving, nil
	}
	bx := f.Work.CurveBox(f.Box, f.Work.SpeciesOf(l))
	bx.Chart = nil
	var w caughtWays
	w.Crank, w.Err = rate.FitBox(bx, measuredOf(standing))
	if len(moving) > 0 {
		fit, err := rate.FitBox(bx, measuredOf(moving))
		w.Moving, w.both = fit, err == nil
	}
	return w
}

// outsAt is the weighed runs that tell of a setting.
func (f *Flow) outsAt(l entry.ID, dial units.Dial) []weighedOut {
	if !f.Untied(l, dial) {
		return f.Outs
	}
	return slices.DeleteFunc(slices.Clone(f.Outs), func(o weighedOut) bool { return !slices.Contains(o.Dials, dial) })
}
