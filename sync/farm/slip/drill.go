package slip

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// What a drill's measures are asked about beyond.
const (
	leastSpacing units.Length = 3 * 25_400  // row units get no nearer than 3 in
	mostSpacing  units.Length = 48 * 25_400 // the widest rows of seed crops are 40 in, and a hand's breadth more
	leastWidth   units.Length = 2 * 304_800
	mostWidth    units.Length = 80 * 304_800
	leastRoll    units.Length = 4 * 304_800 // a ground wheel is 15 in to 46 in high
	mostRoll     units.Length = 12 * 304_800
)

// unitSlips are the units of length that are taken for one another: the factor
// that puts it right, and how that reads.
var unitSlips = []struct {
	by  float64
	how string
}{
	{1.0 / 12, "inches, not feet"}, {12, "feet, not inches"},
	{2.54, "inches, not centimetres"}, {1 / 2.54, "centimetres, not inches"},
	{25.4, "inches, not millimetres"}, {1 / 25.4, "millimetres, not inches"},
	{1 / 3.280839895, "feet, not metres"}, {3.280839895, "metres, not feet"},
	{0.1, "a point left out"}, {10, "a point too many"},
}

// mostReadings is how many other readings are offered: more are not read.
const mostReadings = 2

// drillMeasure is a length of a drill that is held against a range: as it is usual,
// and beyond which it is asked about.
type drillMeasure struct {
	num                  int
	what, field          string
	least, most          units.Length
	usualFrom, usualUpTo units.Length
	set                  func(*entry.DrillSet, units.Length)
}

var drillMeasures = []drillMeasure{
	{thing.DrillSpacing, "rows %s apart", "spacing", leastSpacing, mostSpacing, 5 * 25_400, 12 * 25_400,
		func(b *entry.DrillSet, l units.Length) { b.Spacing = entry.Some(l) }},
	{thing.DrillWidth, "a drill %s wide", "width", leastWidth, mostWidth, 3 * 304_800, 60 * 304_800,
		func(b *entry.DrillSet, l units.Length) { b.Width = entry.Some(l) }},
	{thing.DrillRoll, "a wheel that rolls %s a turn", "wheel_roll", leastRoll, mostRoll, 5 * 304_800, 11 * 304_800,
		func(b *entry.DrillSet, l units.Length) { b.Roll = entry.Some(l) }},
}

// drillSlips finds measures that no drill has.
func (s *Slips) drillSlips(t *thing.Thing) []Slip {
	var out []Slip
	for i := range drillMeasures {
		m := &drillMeasures[i]
		g := t.Reg(thing.Field{Num: m.num}, false)
		if g == nil {
			continue
		}
		by, v, ok := g.Shown()
		if !ok {
			continue
		}
		_, sets := by.Eff.(*entry.DrillSet)
		if l := units.Length(v.N); sets && (l < m.least || l > m.most) {
			out = append(out, s.drillSlip(t, by, m, l))
		}
	}
	return out
}

func (s *Slips) drillSlip(t *thing.Thing, by *order.Rec, m *drillMeasure, l units.Length) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.UnlikelyWidth, About: "drill " + s.Name(t.ID), Recs: []*order.Rec{by}}, field: m.field, figure: entry.Some(int64(l)),
		says: func() slipWords {
			w := slipWords{written: l.Format(s.System()), why: m.why(l, s.System())}
			for _, o := range m.others(l) {
				b := *by.Eff.(*entry.DrillSet)
				m.set(&b, o.length)
				w.instead = append(w.instead, meant{text: o.length.Format(s.System()), how: o.how, value: entry.Some(int64(o.length)), body: &b})
			}
			return w
		},
	}
}

func (m *drillMeasure) why(l units.Length, s units.System) string {
	return fmt.Sprintf(m.what+": drills have %s to %s", l.Format(s), m.least.Format(s), m.most.Format(s))
}

// otherLength is a length that may have been meant, and how it came to be written
// otherwise.
type otherLength struct {
	length units.Length
	how    string
}

func (m *drillMeasure) others(l units.Length) (list []otherLength) {
	for _, u := range unitSlips {
		if to := rate.Scaled(l, u.by); to >= m.usualFrom && to <= m.usualUpTo && len(list) < mostReadings {
			list = append(list, otherLength{to, u.how})
		}
	}
	return list
}

// UnlikelyLength says why a drill's "spacing", "width" or "wheel_roll" is unlikely
// to be so, and what may have been meant, likeliest first. It is false where drills
// have such.
func UnlikelyLength(field string, l units.Length, s units.System) (why string, meant []string, unlikely bool) {
	for i := range drillMeasures {
		m := &drillMeasures[i]
		if m.field != field || l >= m.least && l <= m.most {
			continue
		}
		for _, o := range m.others(l) {
			meant = append(meant, o.length.Format(s))
		}
		return m.why(l, s), meant, true
	}
	return "", nil, false
}

// PublishedRates is the lowest and the highest rate that is published for a
// species, alone or in a mixture, and by whom.
func PublishedRates(species string) (low, high units.RatePerArea, source string, ok bool) {
	p, ok := publishedRates(species)
	return p.low, p.high, p.source, ok
}

// FastestDrill is a speed at which no drill sows.
const FastestDrill = fastestDrill
