package page

import (
	"cmp"
	"slices"
	"time"

	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// bar is a box on the first view: how full it is, and when it runs dry.
type bar struct {
	boxCard
	Low, Soft int    // of a thousand of its capacity: what is in it at the least, and what may be on top of that
	Dry       string // what the counter shows then; empty where that is not known
	Next      bool   // it runs dry before the drill's others
	Clock     string // about when it runs dry; empty where that is not known
}

// fullWidth is how wide a full box is drawn.
const fullWidth = 1000

// freshPace is how old a reading may be to say by the clock when a box runs dry:
// after that there was a rest.
const freshPace = 3 * time.Hour

// Bars are a drill's boxes, those that run dry first before the others.
func (q *request) Bars(d drillCard) []bar {
	var out []bar
	for _, b := range d.Boxes {
		low, high := part(b.LeftLow, b.Full), part(b.LeftHigh, b.Full)
		if b.LeftOpen {
			low = 0
		}
		out = append(out, bar{boxCard: b, Low: low, Soft: high - low, Dry: dryReadings(b.Box), Clock: q.dryClock(d.Drill, b.Box)})
	}
	slices.SortStableFunc(out, func(a, b bar) int { return cmp.Compare(lasts(a), lasts(b)) })
	if len(out) > 1 && out[0].AcresLeft != nil {
		out[0].Next = true
	}
	return out
}

// lasts is how much ground a box's seed is for; one of which that is not known
// comes after the others.
func lasts(b bar) units.Area {
	if b.AcresLeft == nil {
		return units.Area(1) << 62
	}
	return b.AcresLeft.P50
}

func part(m, full units.Mass) int {
	if full <= 0 {
		return 0
	}
	n, err := units.MulDiv(int64(m), fullWidth, int64(full))
	if err != nil {
		return fullWidth
	}
	return int(min(n, fullWidth))
}

// dryReadings is what the counter shows when a box runs dry, to the tenth that
// counters show, rounded outwards.
func dryReadings(b farm.Box) string {
	const tenth = 100
	if b.DryTo == 0 {
		return ""
	}
	return span((b.DryFrom / tenth * tenth).String(), ((b.DryTo + tenth - 1) / tenth * tenth).String())
}

// dryClock is about when a box runs dry, by the drill's pace since its counter
// was read.
func (q *request) dryClock(d farm.Drill, b farm.Box) string {
	if b.MinutesLeft == nil || d.Reading == nil {
		return ""
	}
	wall, ok := q.wall(d.Reading.Entry)
	read := time.UnixMilli(wall)
	if age := q.now().Sub(read); !ok || age < 0 || age > freshPace {
		return ""
	}
	at := func(minutes float64) time.Time { return read.Add(time.Duration(minutes * float64(time.Minute))) }
	if last := at(b.MinutesLeft.P90); last.Before(q.now()) {
		return texts.Text("bar.dry.now")
	}
	return texts.Text("bar.dry.clock", q.Clock(at(b.MinutesLeft.P10).UnixMilli()), q.Clock(at(b.MinutesLeft.P90).UnixMilli()))
}

// Wanted is the seed that somebody asked for and that is not there yet.
func (q *request) Wanted() (out []string) {
	for _, e := range q.View.Wanted() {
		if l, ok := q.page.farm.Line(e.By); ok {
			out = append(out, l.What)
		}
	}
	return out
}
