package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
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
	how message.Message
}{
	{1.0 / 12, message.Of("how.inches-not-feet")}, {12, message.Of("how.feet-not-inches")},
	{2.54, message.Of("how.inches-not-centimetres")}, {1 / 2.54, message.Of("how.centimetres-not-inches")},
	{25.4, message.Of("how.inches-not-millimetres")}, {1 / 25.4, message.Of("how.millimetres-not-inches")},
	{1 / 3.280839895, message.Of("how.feet-not-metres")}, {3.280839895, message.Of("how.metres-not-feet")},
	{0.1, message.Of("how.point-left-out")}, {10, message.Of("how.point-too-many")},
}

// mostReadings is how many other readings are offered: more are not read.
const mostReadings = 2

// drillMeasure is a length of a drill that is held against a range: as it is usual,
// and beyond which it is asked about.
type drillMeasure struct {
	num                  int
	why                  message.ID
	field                string
	least, most          units.Length
	usualFrom, usualUpTo units.Length
	set                  func(*entry.DrillSet, units.Length)
}

var drillMeasures = []drillMeasure{
	{thing.DrillSpacing, "slip.spacing", "spacing", leastSpacing, mostSpacing, 5 * 25_400, 12 * 25_400,
		func(b *entry.DrillSet, l units.Length) { b.Spacing = entry.Some(l) }},
	{thing.DrillWidth, "slip.width", "width", leastWidth, mostWidth, 3 * 304_800, 60 * 304_800,
		func(b *entry.DrillSet, l units.Length) { b.Width = entry.Some(l) }},
	{thing.DrillRoll, "slip.roll", "wheel_roll", leastRoll, mostRoll, 5 * 304_800, 11 * 304_800,
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
		Finding: order.Finding{Kind: conflict.UnlikelyWidth, About: s.ThingText(t), Recs: []*order.Rec{by}}, field: m.field, figure: entry.Some(int64(l)),
		says: func() reason {
			w := reason{written: shown(message.Length(l)), why: m.unlike(l)}
			for _, o := range m.others(l) {
				b := *by.Eff.(*entry.DrillSet)
				m.set(&b, o.length)
				w.instead = append(w.instead, meant{text: shown(message.Length(o.length)), how: o.how, value: entry.Some(int64(o.length)), body: &b})
			}
			return w
		},
	}
}

// unlike says what drills have.
func (m *drillMeasure) unlike(l units.Length) message.Message {
	return message.Of(m.why, message.Length(l), message.Length(m.least), message.Length(m.most))
}

// otherLength is a length that may have been meant, and how it came to be written
// otherwise.
type otherLength struct {
	length units.Length
	how    message.Message
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
func UnlikelyLength(field string, l units.Length) (why message.Message, meant []units.Length, unlikely bool) {
	for i := range drillMeasures {
		m := &drillMeasures[i]
		if m.field != field || l >= m.least && l <= m.most {
			continue
		}
		for _, o := range m.others(l) {
			meant = append(meant, o.length)
		}
		return m.unlike(l), meant, true
	}
	return message.Message{}, nil, false
}

// PublishedRates is the lowest and the highest rate that is published for a
// species, alone or in a mixture, and by whom.
func PublishedRates(species string) (low, high units.RatePerArea, source string, ok bool) {
	p, ok := publishedRates(species)
	return p.low, p.high, p.source, ok
}

// FastestDrill is a speed at which no drill sows.
const FastestDrill = fastestDrill
