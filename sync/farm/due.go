package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// ReadingAfter is what the drill's counter will show once so much more ground is
// done by it. It is false where nobody read it yet, or what it counts is not
// known.
func (d *Drill) ReadingAfter(more units.Area) (units.Reading, bool) {
	c := d.counts()
	if d.Reading == nil || c.per <= 0 {
		return 0, false
	}
	n, err := units.MulDiv(int64(more), c.per*1000, c.unit)
	if err != nil {
		return 0, false
	}
	return d.Reading.Reading + units.Reading(n), true
}

// AreaOf is the area that a difference of the counter stands for; 0 where what it
// counts is not known, or the counter went back.
func (d *Drill) AreaOf(diff units.Reading) units.Area { return d.counts().area(diff) }

func (d *Drill) counts() counting { return countingOf(d.Counter, d.CounterTurns) }

// counting is what a counter counts: an area in thousandths of a cm², and how many
// thousandths of the counter's unit go to it; none where that is not known.
type counting struct{ unit, per int64 }

func countingOf(kind entry.CounterKind, turns units.Turns) counting {
	const acre, hectare = 40_468_564_224, 100_000_000_000
	switch kind {
	case entry.CountsAcres:
		return counting{acre, 1000}
	case entry.CountsTurns:
		return counting{acre, int64(turns)}
	case entry.CountsHectares:
		return counting{hectare, 1000}
	}
	return counting{}
}

// area is the area that a difference of the counter stands for.
func (c counting) area(diff units.Reading) units.Area {
	if c.per <= 0 {
		return 0
	}
	n, err := units.MulDiv(int64(max(0, diff)), c.unit, c.per*1000)
	if err != nil {
		return 0
	}
	return units.Area(n)
}

// UsualRun is the run of the next catch from a box: that of the last one, or of
// a fiftieth of an acre over all rows, in whole turns. It is false where too
// little is known of the drill.
func (d *Drill) UsualRun(last *entry.Caught) (entry.Caught, bool) {
	const fiftieth, turn = 50, 1000
	if last != nil {
		return entry.Caught{Turns: last.Turns, Distance: last.Distance, Rows: last.Rows, Width: last.Width}, true
	}
	turns := (d.WheelTurns + fiftieth*turn - 1) / (fiftieth * turn) * turn
	return entry.Caught{Turns: turns, Rows: d.Rows}, turns > 0 && d.Rows > 0
}
