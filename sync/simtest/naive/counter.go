package naive

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// point is a reading in its place along a drill's counter, or a place where
// somebody says that the counter stood when work began.
type point struct {
	it     *item
	from   int64 // where the stretch that it ends began
	total  int64 // with the resets before it
	resets int64 // before it
	ground entry.ID
	begin  bool // work began here: nothing was worked up to it
	open   bool // where its stretch began is not known
}

// timeline is a drill's readings and begins by its counter, and those that went
// back.
func (f *Fold) timeline(drill entry.ID) (pts []point, back []*item) {
	pts, back, _ = f.along(drill)
	for _, p := range slices.Clone(pts) {
		if by, at, ok := f.saidBegin(p.it); ok && !p.begin {
			pts = append(pts, point{it: by, total: at + p.resets, ground: p.ground, begin: true})
		}
	}
	slices.SortStableFunc(pts, func(a, b point) int {
		if a.total != b.total {
			return int(a.total - b.total)
		}
		return a.it.Compare(b.it)
	})
	for i := range pts {
		pts[i].from = pts[i].total
		if !pts[i].begin && i > 0 {
			pts[i].from = pts[i-1].total
		}
	}
	if len(pts) > 0 && !pts[0].begin && pts[0].total != pts[0].resets {
		f.first(drill, &pts[0])
	}
	return pts, back
}

// along goes through what was read of a drill's counter. shifts is by how much
// each entry had the counter set back.
func (f *Fold) along(drill entry.ID) (pts []point, back []*item, shifts map[*item]int64) {
	shifts = map[*item]int64{}
	var off int64
	for _, it := range f.items {
		p := point{it: it, total: f.readingOf(it) + off, resets: off}
		switch b := it.eff.(type) {
		case *entry.CounterReset:
			if b.Drill == drill {
				shifts[it] = int64(b.From - b.To)
				off += shifts[it]
			}
			continue
		case *entry.CounterStood:
			if p.ground, p.begin = b.Ground, true; b.Drill != drill {
				continue
			}
		case *entry.MeterRead:
			if p.ground = b.Ground; b.Drill != drill {
				continue
			}
		default:
			continue
		}
		if top := p.contradicts(pts); top > p.total {
			said := ""
			if d := (Doubt{"counter-back", []entry.ID{it.ID}}); f.settled(d) {
				said = f.settlement(d).Choice
			}
			if said == "set-back" {
				shifts[it] = top - p.total
				off += shifts[it]
				p.total, p.resets, p.begin = top, off, true
			} else if said != "as-written" {
				back = append(back, it)
				continue
			}
		}
		pts = append(pts, p)
	}
	return pts, back, shifts
}

// contradicts is the highest place of the counter that who wrote a reading or
// a begin knew of, where it lies above theirs; a begin that is said late, below
// a first reading that had none, contradicts nothing.
func (p point) contradicts(pts []point) int64 {
	known := slices.DeleteFunc(slices.Clone(pts), func(o point) bool { return !p.it.knows(o.it) })
	if len(known) == 0 {
		return 0
	}
	slices.SortFunc(known, func(a, b point) int {
		if a.before(b) {
			return -1
		}
		return 1
	})
	low, top := known[0], known[len(known)-1]
	if late := !low.begin && low.total > low.resets && p.total < low.total; p.begin && late {
		return 0
	}
	return top.total
}

// readingOf is what an entry says that the counter of a drill showed; 0 where it
// says nothing of it.
func (f *Fold) readingOf(it *item) int64 {
	switch b := it.eff.(type) {
	case *entry.MeterRead:
		return int64(b.Reading)
	case *entry.CounterStood:
		return int64(b.Reading)
	}
	return 0
}

// saidBegin is where the latest settlement says that the counter stood when
// the work began that a reading ended.
func (f *Fold) saidBegin(reading *item) (by *item, at int64, ok bool) {
	counting(f, func(it *item, b *entry.Settled) {
		if b.Doubt == "counter-begin" && f.saysBegin(b) && b.Entries[0] == reading.ID {
			by, at, ok = it, b.Value.Val, true
		}
	})
	return by, at, ok
}

// saysBegin says whether a settlement of one reading says where the counter
// stood before it.
func (f *Fold) saysBegin(b *entry.Settled) bool {
	if b.Choice != "began-at" || !b.Value.Set || len(b.Entries) != 1 {
		return false
	}
	it := f.byID[b.Entries[0]]
	if it == nil {
		return false
	}
	read, ok := it.eff.(*entry.MeterRead)
	return ok && b.Value.Val <= int64(read.Reading)
}

// first is where the first stretch begins, which nobody's reading says: at the
// lowest place at which the counter was seen otherwise. That is where the work
// began if no seed had been poured by then; else it is the least that is known.
func (f *Fold) first(drill entry.ID, p *point) {
	p.open = true
	var off int64
	found, poured := false, false
	_, _, shifts := f.along(drill)
	for _, it := range f.items {
		at, ok := f.seenAt(drill, it)
		at += off
		if ok && (at < p.from || !found && at == p.from) {
			p.from, found = at, true
			p.open = poured
		}
		off += shifts[it]
		poured = poured || f.pours(drill, it)
	}
}

// seenAt is the counter as somebody saw it who did something to a box of the
// drill, or set the counter back.
func (f *Fold) seenAt(drill entry.ID, it *item) (int64, bool) {
	var box entry.ID
	var r entry.Opt[units.Reading]
	switch b := it.eff.(type) {
	case *entry.CounterReset:
		return int64(b.From), b.Drill == drill
	case *entry.Filled:
		box, r = b.Box, b.Reading
	case *entry.VolumeFilled:
		box, r = b.Box, b.Reading
	case *entry.Drained:
		box, r = b.Box, b.Reading
	case *entry.LevelRead:
		box, r = b.Box, b.Reading
	case *entry.DialMoved:
		box, r = b.Box, b.Reading
	case *entry.Caught:
		box, r = b.Box, b.Reading
	}
	return int64(r.Val), r.Set && f.isOn(box, drill)
}

func (f *Fold) pours(drill entry.ID, it *item) bool {
	switch b := it.eff.(type) {
	case *entry.Filled:
		return f.isOn(b.Box, drill)
	case *entry.VolumeFilled:
		return f.isOn(b.Box, drill)
	}
	return false
}

// isOn says whether a box is one of a drill's.
func (f *Fold) isOn(box, drill entry.ID) bool {
	of, ok := f.Shown(box, "drill")
	return ok && of == drill.String()
}

// Done is what was done on a piece of ground by the counters; the least, where
// Open.
type Done struct {
	Area units.Area
	Open bool
}

// Done is what was done on each piece of ground.
func (f *Fold) Done() map[entry.ID]Done {
	out := map[entry.ID]Done{}
	for _, drill := range f.made("drill") { // ground was worked, whatever is said of the drill
		pts, _ := f.timeline(drill)
		for _, p := range pts {
			if d := out[p.ground]; !p.begin {
				out[p.ground] = Done{d.Area + f.corrected(drill, p), d.Open || p.open}
			}
		}
	}
	return out
}

// corrected is the area of a stretch by the counter as people correct it: each
// correction holds from where it was written on, as long as the one that is
// shown now did not pass it over.
func (f *Fold) corrected(drill entry.ID, p point) units.Area {
	a := f.area(drill, p.total-p.from)
	k := Field{drill, "correction"}
	hs := f.heads(k)
	if len(hs) == 0 {
		return a
	}
	shown := hs[len(hs)-1]
	for !shown.stands.IsZero() {
		for _, w := range f.marks[k] {
			if w.by.ID == shown.stands {
				shown = w
				break
			}
		}
	}
	best, at := int64(1000), int64(-1)
	for _, w := range f.marks[k] {
		b, ok := w.by.eff.(*entry.GroundFinished)
		if !ok || w.by != shown.by && !shown.by.knows(w.by) {
			continue
		}
		if place := f.finishedAt(drill, w.by, b); place <= p.from && place >= at {
			best, at = b.Correction.Val, place
		}
	}
	n, err := units.MulDiv(int64(a), best, 1000)
	if err != nil {
		return a
	}
	return units.Area(n)
}

// finishedAt is where along a drill's counter ground was finished.
func (f *Fold) finishedAt(drill entry.ID, end *item, b *entry.GroundFinished) int64 {
	var off, last int64
	_, _, shifts := f.along(drill)
	for _, it := range f.items {
		if it == end {
			break
		}
		if _, reset := it.eff.(*entry.CounterReset); !reset {
			off += shifts[it] // what a reading shows is what it was set back to
		}
		at, ok := f.seenAt(drill, it)
		switch r := it.eff.(type) {
		case *entry.MeterRead:
			at, ok = int64(r.Reading), r.Drill == drill
		case *entry.CounterStood:
			at, ok = int64(r.Reading), r.Drill == drill
		}
		if ok {
			last = max(last, at+off)
		}
		if _, reset := it.eff.(*entry.CounterReset); reset {
			off += shifts[it]
		}
	}
	if b.Reading.Set {
		return int64(b.Reading.Val) + off
	}
	return last
}

// twoBegins are begins apart that differ, with no reading between.
func twoBegins(pts []point) [][]*item {
	var out [][]*item
	for _, a := range pts {
		for _, b := range pts {
			if !a.begin || !b.begin || a.total >= b.total || !apart(a.it, b.it) {
				continue
			}
			between := slices.ContainsFunc(pts, func(p point) bool {
				return !p.begin && a.before(p) && p.before(b)
			})
			if !between {
				out = append(out, []*item{a.it, b.it})
			}
		}
	}
	return out
}

// before is the order along the counter.
func (p point) before(o point) bool {
	return p.total < o.total || p.total == o.total && p.it.Compare(o.it) < 0
}

// area is the area of a difference of the counter.
func (f *Fold) area(drill entry.ID, dr int64) units.Area {
	per, unit := int64(1000), int64(0)
	kind, _ := f.Shown(drill, "counter")
	switch kind {
	case "1":
		unit = 40_468_564_224
	case "3": // hectares of 100,000,000 cm²
		unit = 100_000_000_000
	case "2":
		unit = 40_468_564_224
		txt, _ := f.Shown(drill, "counterturns")
		turns, err := units.ParseTurns(txt)
		if err != nil || turns <= 0 {
			return 0
		}
		per = int64(turns)
	}
	a, err := units.MulDiv(dr, unit, per*1000)
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
			if !p.begin && !between && !p.it.knows(o.it) && apart(o.it, p.it) && o.ground != p.ground && o.from < o.total {
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
		said := i > 0 && pts[i-1].begin && pts[i-1].it.Compare(p.it) > 0 // only later
		if i > 0 && !said {
			ready = ready || f.readyBetween(drill, pts[i-1].it, p.it)
		}
		if !ready || len(end.Holds) > 0 {
			out = append(out, p.it)
		}
	}
	return out
}

// readyBetween says whether a drill was ready at either of two entries, or at one
// between them that bears on its hitch: who wrote anything else says nothing of it.
func (f *Fold) readyBetween(drill entry.ID, a, b *item) bool {
	if a.Compare(b) > 0 {
		a, b = b, a
	}
	for _, it := range f.items {
		within := it == a || it == b || it.Compare(a) >= 0 && it.Compare(b) <= 0 && f.bearsOnHitch(it, drill)
		if within && f.hitchAt(drill, it).Ready {
			return true
		}
	}
	return false
}

func (f *Fold) bearsOnHitch(it *item, drill entry.ID) bool {
	of := func(d entry.ID) bool { return d.IsZero() || f.canon(d) == drill }
	switch b := it.eff.(type) {
	case *entry.HitchBegun:
		return of(b.Drill)
	case *entry.Unhitched:
		return of(b.Drill)
	case *entry.HoldReleased:
		return of(b.Drill)
	case *entry.DrillMoved:
		return of(b.Drill)
	case *entry.ItemSigned:
		h := f.byID[b.Hitch]
		return h != nil && f.bearsOnHitch(h, drill)
	}
	return f.holdsUp(it, drill)
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
