package slip

import (
	"math"
	"slices"
	"strconv"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

const (
	// tooManyAcres is how far above a piece's own area the counter's may come:
	// wheels skid (4.53 %, Nirala 2011), and ends and corners are sown twice.
	tooManyAcres = 1.15
	// fastestDrill is a speed at which no drill sows, 12 mph: drills go at 4 to
	// 7 mph (ASABE D497, grain drills), and air drills some faster.
	fastestDrill units.Speed = 12 * 1_609_344
	// widestDrill stands in for a width that is not known.
	widestDrill units.Length = 80 * 304_800
	// paceFrom is how far apart, in ms of their wall clocks, two readings tell a
	// pace: nearer, they were typed in late.
	paceFrom = 10 * 60 * 1000
	// counterStep is the last digit of a counter, in its thousandths.
	counterStep units.Reading = 100
)

// counterSlips finds readings that make more acres than the piece has, or that
// no drill gets to so fast, and asks where the counter stood before a first
// one.
//
// One reading is asked about once: what is too many acres is mostly too fast.
func (s *Slips) counterSlips(t *thing.Thing, acres []Slip) []Slip {
	l := s.CounterOf(t)
	var out []Slip
	for _, p := range l.Back {
		out = append(out, s.backSlip(t, l, p))
	}
	if len(l.Points) > 0 && l.Points[0].Open {
		out = append(out, s.beginSlip(t, l.Points[0]))
	}
	width := s.DrillFacts(t).Width
	if width <= 0 {
		width = widestDrill
	}
	for i := 1; i < len(l.Points); i++ {
		if p, before := l.Points[i], l.Points[i-1]; !p.Begin && s.tooFast(t, before, p, width) && !names(acres, p.Rec) {
			out = append(out, s.paceSlip(t, before, p))
		}
	}
	return out
}

// names says whether some of the slips are about an entry.
func names(slips []Slip, r *order.Rec) bool {
	return slices.ContainsFunc(slips, func(sl Slip) bool { return slices.Contains(sl.Recs, r) })
}

// tooFast says whether no drill of a width gets from one reading to the next in
// the time between them. Clocks that contradict each other tell no time.
func (s *Slips) tooFast(t *thing.Thing, before, p work.Point, width units.Length) bool {
	return before.Total == p.From && s.fasterThan(s.CounterOf(t), before.Rec, p.Rec, p.Total-p.From, width)
}

// fasterThan is the same of how far the counter went between two entries.
func (s *Slips) fasterThan(l *work.CounterLine, before, then *order.Rec, went units.Reading, width units.Length) bool {
	took := then.Wall - before.Wall
	if took < paceFrom || s.skewed(before.Log, then.Log) {
		return false
	}
	const hour = 60 * 60 * 1000 // ms
	perHour, err := rate.PerHour(fastestDrill, width, units.Whole)
	if err != nil {
		return false // a width that no drill has is asked about where it is set
	}
	most, err := units.MulDiv(int64(perHour), took, hour)
	return err == nil && l.Counts.Area(went-counterStep) > units.Area(most)
}

// skewed says whether the clocks of two devices are in doubt.
func (s *Slips) skewed(a, b *order.Log) bool {
	return a != b && slices.ContainsFunc(s.Skews, func(k order.Skew) bool {
		return k.Late.Log == a || k.Late.Log == b || k.Early.Log == a || k.Early.Log == b
	})
}

func (s *Slips) paceSlip(t *thing.Thing, before, p work.Point) Slip {
	b, _ := p.Rec.Eff.(*entry.MeterRead)
	return Slip{
		Finding: order.Finding{Kind: conflict.TooFast, About: s.ThingText(t), Recs: []*order.Rec{p.Rec}}, field: "reading", figure: figureOf(b),
		says: func() reason {
			w := reason{written: readingText(b), why: message.Of("slip.too-fast",
				message.AboutArea(s.CounterOf(t).Counts.Area(p.Total-p.From)), minutes(p.Rec.Wall-before.Rec.Wall))}
			if b != nil {
				w.instead = s.likelyReadings(b, before.Total-p.Offset, p.Total-p.Offset)
			}
			return w
		},
	}
}

func figureOf(b *entry.MeterRead) entry.Opt[int64] {
	if b == nil {
		return entry.Opt[int64]{}
	}
	return entry.Some(int64(b.Reading))
}

func readingText(b *entry.MeterRead) message.Message {
	if b == nil {
		return message.Message{}
	}
	return shown(message.Decimal(b.Reading))
}

// groundSlips finds, for each piece of ground, the readings by which the acres
// of the counter grow beyond it, and beyond it again: who sows a piece twice is
// asked once for each time over.
func (s *Slips) groundSlips() []Slip {
	type stretch struct {
		drill *thing.Thing
		p     work.Point
	}
	on := map[entry.ID][]stretch{}
	for _, d := range s.Sorted(thing.Drill) {
		for _, p := range s.CounterOf(d).Points {
			if !p.Begin && !p.Open && p.Total > p.From {
				on[p.Ground] = append(on[p.Ground], stretch{d, p})
			}
		}
	}
	var out []Slip
	for _, g := range s.Sorted(thing.Ground) {
		size, ok := g.Num(thing.GroundArea)
		if !ok || size <= 0 {
			continue
		}
		sts := on[g.ID]
		slices.SortStableFunc(sts, func(a, b stretch) int { return a.p.Rec.Compare(b.p.Rec) })
		var done units.Area
		times := 1.0
		for _, st := range sts {
			before := done
			done += s.CounterOf(st.drill).Counts.Area(st.p.Total - st.p.From)
			if over := rate.Ratio(done, rate.Scaled(units.Area(size), tooManyAcres)); over > times {
				times = math.Ceil(over)
				out = append(out, s.acresSlip(g, st.drill, st.p, before, done, units.Area(size)))
			}
		}
	}
	return out
}

func (s *Slips) acresSlip(g, d *thing.Thing, p work.Point, before, done, size units.Area) Slip {
	b, _ := p.Rec.Eff.(*entry.MeterRead)
	return Slip{
		Finding: order.Finding{Kind: conflict.TooManyAcres, About: s.ThingText(g), Recs: []*order.Rec{p.Rec}}, field: "reading", figure: figureOf(b),
		says: func() reason {
			w := reason{written: readingText(b), why: message.Of("slip.too-many-acres", message.AboutArea(done), s.Called(g.ID), message.Area(size))}
			if b == nil {
				return w
			}
			left := max(0, rate.Scaled(size, tooManyAcres)-before)
			most := p.From
			if whole := s.CounterOf(d).Counts.Area(p.Total - p.From); whole > 0 {
				most += rate.Scaled(p.Total-p.From, rate.Ratio(left, whole))
			}
			w.instead = s.likelyReadings(b, p.From-p.Offset, most-p.Offset)
			w.instead = append(w.instead, s.begins(b, message.Of("how.others-had-it")))
			return w
		},
	}
}

// begins is that a counter stood at a reading when work began.
func (s *Slips) begins(b *entry.MeterRead, how message.Message) meant {
	return meant{text: message.Of("choice.begin-at", message.Decimal(b.Reading)), how: how, value: entry.Some(int64(b.Reading)),
		body: &entry.CounterStood{Drill: b.Drill, Reading: b.Reading, Ground: b.Ground, Why: b.Note}}
}

// likelyReadings is the readings above one and up to another that a slip of the
// finger makes of what was written.
func (s *Slips) likelyReadings(b *entry.MeterRead, above, upTo units.Reading) []meant {
	fits := func(r units.Reading) bool { return r > above && r <= upTo }
	return likely(b.Reading, false, fits, func(r units.Reading) entry.Body {
		c := *b
		c.Reading = r
		return &c
	})
}

// likely is the readings that fit, of those that a slip of the finger makes of
// what was written: a point left out or set wrong, or, unless it is the point
// alone, two digits swapped.
func likely(written units.Reading, point bool, fits func(units.Reading) bool, as func(units.Reading) entry.Body) []meant {
	var out []meant
	try := func(r units.Reading, how message.Message) {
		if r != written && len(out) < mostReadings && fits(r) {
			out = append(out, meant{text: shown(message.Decimal(r)), how: how, value: entry.Some(int64(r)), body: as(r)})
		}
	}
	try(written/10, message.Of("how.point-left-out"))
	try(written/100, message.Of("how.point-left-out"))
	try(written*10, message.Of("how.point-too-far-left"))
	try(written*100, message.Of("how.point-too-far-left"))
	if point {
		return out
	}
	text := strconv.FormatInt(int64(written/counterStep), 10)
	for i := range len(text) - 1 {
		digits := []byte(text)
		digits[i], digits[i+1] = digits[i+1], digits[i]
		if n, err := strconv.ParseInt(string(digits), 10, 64); err == nil {
			try(units.Reading(n)*counterStep+written%counterStep, message.Of("how.digits-swapped"))
		}
	}
	return out
}

// beginSlip asks, before a first reading is written, where the counter stood
// when work began. Once it is written it is a doubt of its own.
func (s *Slips) beginSlip(t *thing.Thing, p work.Point) Slip {
	b, _ := p.Rec.Eff.(*entry.MeterRead)
	return Slip{
		Finding: order.Finding{Kind: conflict.CounterBegin, About: s.ThingText(t), Recs: []*order.Rec{p.Rec}}, field: "reading", figure: figureOf(b), AskOnly: true,
		says: func() reason {
			at := readingText(b)
			w := reason{why: message.Of("slip.first-reading", s.Called(t.ID), at), written: at, unsettled: message.Of("choice.worked")}
			if b != nil {
				w.instead = []meant{s.begins(b, message.Of("how.nothing-worked"))}
			}
			return w
		},
	}
}
