package naive

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// point is a reading in its place along a drill's counter.
type point struct {
	it     *item
	from   int64 // where the stretch that it ends began
	total  int64 // with the resets before it
	ground entry.ID
}

// timeline is a drill's readings by its counter, and those that went back.
func (f *Fold) timeline(drill entry.ID) (pts []point, back []*item) {
	var offset int64
	for _, it := range f.items {
		switch b := it.eff.(type) {
		case *entry.CounterReset:
			if b.Drill == drill {
				offset += int64(b.From - b.To)
			}
		case *entry.MeterRead:
			if b.Drill != drill {
				continue
			}
			p := point{it: it, total: int64(b.Reading) + offset, ground: b.Ground}
			if slices.ContainsFunc(pts, func(o point) bool { return o.total > p.total && it.knows(o.it) }) {
				back = append(back, it)
				continue
			}
			pts = append(pts, p)
		}
	}
	slices.SortStableFunc(pts, func(a, b point) int {
		if a.total != b.total {
			return int(a.total - b.total)
		}
		return a.it.Compare(&b.it.Entry)
	})
	for i := range pts {
		switch {
		case i > 0:
			pts[i].from = pts[i-1].total
		case !f.onPiece(drill, pts[i]):
			pts[i].from = pts[i].total
		}
	}
	return pts, back
}

// onPiece says whether all that the counter shows can have been worked on the
// reading's piece of ground; else the first reading is only where to start.
func (f *Fold) onPiece(drill entry.ID, p point) bool {
	whole, ok := f.Shown(p.ground, "area")
	if !ok {
		return false
	}
	most, err := units.ParseArea(whole)
	return err == nil && f.area(drill, p.total) <= most
}

// area is the area of a difference of the counter.
func (f *Fold) area(drill entry.ID, dr int64) units.Area {
	per := int64(1000)
	if kind, _ := f.Shown(drill, "counter"); kind == "2" {
		txt, _ := f.Shown(drill, "counterturns")
		turns, err := units.ParseTurns(txt)
		if err != nil || turns <= 0 {
			return 0
		}
		per = int64(turns)
	}
	a, err := units.MulDiv(dr, 40_468_564_224, per*1000)
	if err != nil {
		return 0
	}
	return units.Area(a)
}

// twoPieces are pairs of readings apart, of different ground, which both claim
// a stretch: each claims back to the highest reading below it that it knew.
func twoPieces(pts []point) [][]*item {
	var out [][]*item
	for i, p := range pts {
		for j, o := range pts[:i] {
			between := slices.ContainsFunc(pts[j+1:i], func(q point) bool { return p.it.knows(q.it) })
			if !between && !p.it.knows(o.it) && apart(o.it, p.it) && o.ground != p.ground && o.from < o.total {
				out = append(out, []*item{o.it, p.it})
			}
		}
	}
	return out
}

// workedUnready are readings that moved the counter of a drill while it was
// not ready: at no moment between the reading before and it, or with a hold
// open at its own.
func (f *Fold) workedUnready(drill entry.ID, pts []point) []*item {
	if !f.hasHitches(drill) {
		return nil
	}
	var out []*item
	for i, p := range pts {
		if p.total == p.from {
			continue
		}
		end := f.hitchAt(drill, p.it)
		ready := end.Ready
		if i > 0 {
			ready = ready || f.readyBetween(drill, pts[i-1].it, p.it)
		}
		if !ready || len(end.Holds) > 0 {
			out = append(out, p.it)
		}
	}
	return out
}

func (f *Fold) readyBetween(drill entry.ID, a, b *item) bool {
	if a.Compare(&b.Entry) > 0 {
		a, b = b, a
	}
	for _, it := range f.items {
		within := it.Compare(&a.Entry) >= 0 && it.Compare(&b.Entry) <= 0
		if within && f.hitchAt(drill, it).Ready {
			return true
		}
	}
	return false
}

// hasHitches says whether there is anything for a drill to be ready by.
func (f *Fold) hasHitches(drill entry.ID) bool {
	has := false
	for _, it := range f.items {
		switch b := it.eff.(type) {
		case *entry.ChecksSet:
			has = true
		case *entry.HitchBegun:
			has = has || b.Drill == drill
		case *entry.Unhitched:
			has = has || b.Drill == drill
		case *entry.HoldReleased:
			has = has || b.Drill == drill
		case *entry.DrillMoved:
			has = has || b.Drill == drill
		}
		has = has || f.holdsUp(it, drill)
	}
	return has
}
