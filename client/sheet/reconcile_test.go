package sheet

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"turnrow/client/crewtest"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// season is a simulated season: what a crew wrote, and what was so. Bags are
// up to half a per cent off what is printed on them, scales up to one, and
// boxes give up to eight per cent more or less than their chart.
type season struct {
	*crewtest.Crew
	t       *rapid.T
	drill   entry.ID
	grounds []entry.ID
	boxes   []*simBox
	counter units.Reading // as it shows
	acres   units.Reading // worked in all

}

// simBox is a seed box: its lot, and what really is and was in it.
type simBox struct {
	id, lot         entry.ID
	gives           float64    // mg to the cm², in truth
	holds, out      float64    // mg, in truth
	poured, drained units.Mass // as written
}

const acre = 40_468_564.224 // cm²

func newSeason(t *rapid.T) *season {
	s := &season{t: t, Crew: crewtest.Found(t, time.Date(2026, 9, 14, 6, 0, 0, 0, time.UTC),
		entry.FarmFounded{Name: "Quill Hollow", Owner: "Ada", DeviceName: "house", MoneySign: "$"})}
	s.drill = s.Write(0, &entry.DrillSet{Name: entry.Some("drill"), Rows: entry.Some(int64(16)), Spacing: entry.Some(units.Length(190_500)),
		Roll: entry.Some(units.Length(2_489_200)), Counter: entry.CountsAcres})
	for i := range rapid.IntRange(1, 3).Draw(t, "pieces") {
		s.grounds = append(s.grounds, s.Write(0, &entry.GroundSet{Name: entry.Some([]string{"bench", "mill bottom", "knoll"}[i]), Area: entry.Some(units.Area(500 * acre))}))
	}
	for i := range rapid.IntRange(1, 2).Draw(t, "boxes") {
		s.addBox([]string{"grain", "legume"}[i])
	}
	s.Write(0, &entry.MeterRead{Drill: s.drill, Ground: s.grounds[0]})
	return s
}

// off is a factor up to a share off one, either way.
func (s *season) off(share float64) float64 {
	return 1 + share*float64(rapid.IntRange(-100, 100).Draw(s.t, "off"))/100
}

// addBox sets a box with a chart of 20 and 40 lb/ac, a lot with a bag and a
// price, a dial and a catch.
func (s *season) addBox(name string) {
	b := &simBox{id: s.Write(0, &entry.BoxSet{Drill: s.drill, Name: entry.Some(name), DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(60_000))})}
	for dial, lb := range []float64{0, 20, 40} {
		if r, err := units.RateFromLbPerAcre(lb); err == nil && lb > 0 {
			s.Write(0, &entry.ChartPointSet{Box: b.id, Species: "oat", Dial: units.Dial(dial * 20_000), Rate: r})
		}
	}
	bag := units.Mass(rapid.IntRange(5_000_000, 30_000_000).Draw(s.t, "bag"))
	price := units.Money(rapid.IntRange(1, 30_000).Draw(s.t, "price"))
	b.lot = s.Write(0, &entry.LotSet{Name: entry.Some(name + "-1"), Species: entry.Some("oat"), Bag: entry.Some(bag), Price: entry.Some(price)})
	b.gives = 20 * 453_592.37 / acre * s.off(0.08)
	s.Write(0, &entry.DialMoved{Box: b.id, To: 20_000, Why: "chart"})
	const area = 20 * 248.92 * 4 * 19.05 // cm² under 20 turns of the wheel and four rows
	s.Write(0, &entry.Caught{Box: b.id, Lot: b.lot, Dial: 20_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{units.Mass(b.gives * area * s.off(0.02))}, Resolution: 1000})
	s.Write(0, &entry.BagsIn{Lot: b.lot, Bags: 1_000_000})
	s.boxes = append(s.boxes, b)
}

func (s *season) pour(b *simBox, m units.Mass) {
	s.Write(0, &entry.Filled{Box: b.id, Lot: b.lot, Mass: m})
	b.poured += m
	b.holds += float64(m) * s.off(0.005)
}

// drive works some acres on a piece, once every box holds enough for them.
func (s *season) drive() {
	acres := units.Reading(rapid.IntRange(100, 4000).Draw(s.t, "thousandths of an acre"))
	for _, b := range s.boxes {
		if want := 1.3 * b.gives * float64(acres) / 1000 * acre; b.holds < want {
			s.pour(b, units.Mass(want))
		}
		gone := b.gives * float64(acres) / 1000 * acre
		b.holds, b.out = b.holds-gone, b.out+gone
	}
	s.counter += acres
	s.acres += acres
	s.Write(0, &entry.MeterRead{Drill: s.drill, Reading: s.counter, Ground: rapid.SampledFrom(s.grounds).Draw(s.t, "piece")})
}

// empty weighs out all that a box holds.
func (s *season) empty(b *simBox) {
	m := units.Mass(b.holds * s.off(0.01))
	if m <= 0 {
		return
	}
	s.Write(0, &entry.Drained{Box: b.id, All: true, Mass: m, Where: "back in the bag"})
	b.drained += m
	b.holds = 0
}

func (s *season) live(days int) {
	for range days {
		for range rapid.IntRange(1, 3).Draw(s.t, "stretches") {
			s.drive()
		}
		if rapid.Bool().Draw(s.t, "counter set back") {
			s.Write(0, &entry.CounterReset{Drill: s.drill, From: s.counter, Why: "a new day"})
			s.counter = 0
		}
		if rapid.Bool().Draw(s.t, "one bag back") {
			s.Write(0, &entry.BagsOut{Lot: s.boxes[0].lot, Bags: units.Count(rapid.IntRange(1, 3000).Draw(s.t, "bags"))})
		}
		s.At(1, 7, rapid.IntRange(0, 59).Draw(s.t, "minute"))
	}
}

func (s *season) sheet(span Span) *Sheet {
	return Of(s.State.View(), words.Lines(s.State), Options{Span: span, Made: s.Wall})
}

// sums are what any sheet adds up to.
type sums struct {
	area units.Area
	seed units.Mass
	cost units.Money
}

func (s *Sheet) added() (t sums) {
	for _, w := range s.stretches(entry.ID{}) {
		t.area += w.Area
	}
	for _, o := range s.sums {
		t.seed, t.cost = t.seed+o.mass, t.cost+o.cost
	}
	return t
}

// adding adds up a column of a table.
func adding[T ~int64](t *Table, key string) (sum T) {
	at := t.place(key)
	for _, row := range t.rows {
		if v, ok := row[at].(T); ok {
			sum += v
		}
	}
	return sum
}

// TestTotalsReconcile: whatever a season is like, the seed of every box is
// accounted for within the stated uncertainty, the acres of the pieces add up
// to the counter, days add up to the season, and money adds up to the cent.
func TestTotalsReconcile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := newSeason(t)
		days := rapid.IntRange(1, 4).Draw(t, "days")
		s.live(days)
		closed := rapid.Bool().Draw(t, "boxes emptied at the end")
		if closed {
			for _, b := range s.boxes {
				s.empty(b)
			}
		}
		first := Day(20_710) // 2026-09-14
		whole := s.sheet(Span{first, first + Day(days)})
		s.boxesBalance(whole, closed)
		s.areasAddUp(whole)
		s.daysAddUp(whole)
		s.moneyAddsUp(whole)
	})
}

// boxesBalance holds each box's account against what was written, and what the
// sheet says went out and is left against what was so.
func (s *season) boxesBalance(whole *Sheet, closed bool) {
	for _, b := range s.boxes {
		v, _ := whole.view.BoxOf(b.id)
		var out, doubt, drained units.Mass
		for _, o := range v.Out {
			out, doubt = out+o.Mass, doubt+o.Std
		}
		for _, x := range v.Drained {
			drained += x.Mass
		}
		if b.poured != out+drained+v.Left+v.Gap {
			s.t.Errorf("%s: poured %v, sown %v, let out %v, left %v, not placed %v", v.Name, b.poured, out, drained, v.Left, v.Gap)
		}
		// Each figure here is off by no more than one standard uncertainty of
		// its own (the rate by two), all the same way at the worst: a 90 %
		// interval reaches 1.645, and as many fills as there are here add up,
		// in squares, to a third or more of their sum.
		const reach = 3
		if off := math.Abs(float64(out) - b.out); off > reach*float64(halfWidth(doubt))+1e4 {
			s.t.Errorf("%s: the sheet says %v ± %v went out, and %v did", v.Name, out, halfWidth(doubt), units.Mass(b.out))
		}
		if off := math.Abs(float64(v.Left) - b.holds); off > reach*float64(halfWidth(v.LeftStd))+1e4 {
			s.t.Errorf("%s: the sheet says %v ± %v is left, and %v is", v.Name, v.Left, halfWidth(v.LeftStd), units.Mass(b.holds))
		}
		if closed && v.Left != 0 {
			s.t.Errorf("%s was emptied, and %v is left in it", v.Name, v.Left)
		}
	}
}

func (s *season) areasAddUp(whole *Sheet) {
	t := whole.ground(true)
	var pieces units.Area
	for _, g := range s.grounds {
		pieces += whole.worked(g)
	}
	// Each stretch is rounded to a square centimetre of its own.
	counter := float64(s.acres) / 1000 * acre
	if got := adding[units.Area](t, "worked"); got != pieces || math.Abs(float64(got)-counter) > float64(len(whole.stretches(entry.ID{}))) {
		s.t.Errorf("pieces add up to %v in the table, %v by themselves, and the counter to %v", got, pieces, units.Area(counter))
	}
	if total := t.total[t.place("worked")]; total != pieces {
		s.t.Errorf("the table's total is %v, its pieces' %v", total, pieces)
	}
}

func (s *season) daysAddUp(whole *Sheet) {
	var byDay sums
	for d := whole.Span.From; d <= whole.Span.To; d++ {
		one := s.sheet(Span{d, d}).added()
		byDay.area, byDay.seed, byDay.cost = byDay.area+one.area, byDay.seed+one.seed, byDay.cost+one.cost
	}
	if all := whole.added(); all != byDay {
		s.t.Errorf("days add up to %+v, the season is %+v", byDay, all)
	}
	t := whole.byDay()
	got := sums{adding[units.Area](t, "worked"), adding[units.Mass](t, ""), adding[units.Money](t, "cost")}
	if got != byDay {
		s.t.Errorf("the table of days adds up to %+v, day sheets to %+v", got, byDay)
	}
}

func (s *season) moneyAddsUp(whole *Sheet) {
	var lots, traced units.Money
	var pieces units.Mass
	for _, b := range s.boxes {
		l, _ := whole.view.LotOf(b.lot)
		a := whole.account(&l)
		m := a.money(&l)
		if m[0] != m[1]+m[2]+m[3]+m[4] {
			s.t.Errorf("%s: bought for %v; sown %v, sent back %v, left %v, not placed %v", l.Name, m[0], m[1], m[2], m[3], m[4])
		}
		lots += m[1]
		t := whole.tracedTo(&l)
		traced, pieces = traced+adding[units.Money](t, "cost"), adding[units.Mass](t, "")
		if pieces != a.sown || a.bought != a.sent+a.bags()+a.poured {
			s.t.Errorf("%s: traced %v to pieces, sown %v; account %+v", l.Name, pieces, a.sown, a)
		}
	}
	costs, sown, ground := whole.costs(whole.sums), whole.sown(whole.sums), whole.ground(true)
	for name, got := range map[string]units.Money{
		"costs": adding[units.Money](costs, "cost"), "costs' total": costs.total[costs.place("cost")].(units.Money),
		"what went where": adding[units.Money](sown, "cost"), "ground": adding[units.Money](ground, "seed_cost"),
		"the lots' traces": traced, "the head of the sheet": whole.paid(),
	} {
		if got != lots {
			s.t.Errorf("%s comes to %v, the bill's sown seed to %v", name, got, lots)
		}
	}
}
