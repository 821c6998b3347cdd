package sheet

import (
	"slices"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Season lays out many days: every piece, day by day and in all, what seed was
// bought, used and is left, and the money.
func (s *Sheet) Season() *Document {
	d := s.document("season-"+s.Span.From.String()+"-to-"+s.Span.To.String(), "Season, "+s.Span.Long())
	s.facts(d)
	ground, days, sown, lots := s.ground(true), s.byDay(), s.sown(s.sums), s.tags(s.usedInSpan)
	use, bill, costs, bags, balance := s.use(), s.bill(), s.costs(s.sums), s.bags(), s.balance()
	come, stands, doubts := s.comeUp(), s.stands(), s.doubts()
	d.Tables = []*Table{sown, ground, days, use, bill, costs, bags, balance, lots, come, stands, doubts}

	d.part("Ground", nil, ground, days)
	d.part("What went where", nil, sown)
	d.part("Seed bought, used and left", nil, use, balance, bags)
	d.part("Money", nil, bill, costs)
	d.part("Seed lots", nil, lots)
	d.part("What came up, and when to look", s.unknownSpecies(), stands, come)
	d.part("Doubts", nil, doubts)
	return d
}

// byDay is each day's work on each piece of ground.
func (s *Sheet) byDay() *Table {
	t := &Table{Name: "days", Title: "Day by day", columns: []column{
		col("day", "Day", day), wide("ground", "Ground", 1.2), wide("drill", "Drill", 1.2), col("worked", "Worked", area), col("", "Seed", mass), col("cost", "Cost", money)}}
	var all units.Area
	var cost units.Money
	var doubts []value
	for _, w := range s.workDays() {
		m, c, is := s.seedOn(w)
		t.add(w.day, s.view.NameOf(w.ground), s.view.NameOf(w.drill), w.area, known(m, is), known(c, is))
		doubts = append(doubts, inDoubt(s.rests.work(w.drill, w.ground)))
		all, cost = all+w.area, cost+c
	}
	t.total = []value{"Together", nil, nil, all, nil, cost}
	t.marked(doubts)
	return t
}

// workDay is a day's work with one drill on one piece of ground.
type workDay struct {
	day           Day
	drill, ground entry.ID
	area          units.Area
}

// workDays are the span's, in order.
func (s *Sheet) workDays() []workDay {
	var list []workDay
	at := map[workDay]int{}
	for _, w := range s.stretches(entry.ID{}) {
		d, _ := s.dayOf(w.Entry)
		key := workDay{day: d, drill: w.drill, ground: w.Ground}
		i, ok := at[key]
		if !ok {
			i = len(list)
			at[key] = i
			list = append(list, key)
		}
		list[i].area += w.Area
	}
	slices.SortStableFunc(list, func(a, b workDay) int { return int(a.day - b.day) })
	return list
}

// seedOn is the seed that went out in a day's work, and its cost; the least,
// where not all of it is known.
func (s *Sheet) seedOn(w workDay) (m units.Mass, c units.Money, all bool) {
	all = true
	for i := range s.went {
		x := &s.went[i]
		d, ok := s.dayOf(x.reading)
		b, _ := s.view.BoxOf(x.box)
		if ok && d == w.day && x.ground == w.ground && b.Drill == w.drill {
			m, c, all = m+x.mass, c+x.cost, all && !x.unknown
		}
	}
	return m, c, all
}

// Trace lays out where one lot went: every piece that got it, and where the
// rest of it is. For a lot that turns out bad, or is asked about.
func (s *Sheet) Trace(lot farm.Lot) *Document {
	d := s.document("lot-"+fileName(lot.Name), "Lot "+lot.Name+", where it went")
	a := s.account(&lot)
	d.Facts = []Fact{
		{"lot", "", prose, lot.Name}, {"species", "Species", prose, lot.Species}, {"variety", "Variety", prose, lot.Variety},
		{"poured", "Poured into boxes", mass, a.poured}, {"sown", "Went out", mass, known(a.sown, !a.open)}, {"let_out", "Let out again", mass, a.drained},
		{"in_boxes", "In boxes still", mass, known(a.boxes, !a.boxesOpen)}, {"not_placed", "Not placed", mass, known(a.gap(), !a.open)}}
	if !a.unbought() {
		d.Facts = append(d.Facts, Fact{"in_bags", "In bags still", mass, a.bags()})
	}
	on := a.belowZero(s.rests.Lot(&lot))
	d.doubted = on != nil
	d.Facts = append(d.Facts, Fact{"in_doubt", "In doubt (see turnrow doubts)", prose, on})
	d.Cautions = s.cautionsOf(&lot)
	pieces, entries, lots := s.tracedTo(&lot), s.about(lot.ID), s.tags(func(l *farm.Lot) bool { return l.ID == lot.ID })
	left := s.emptied().only("lot", lot.Name, "Let out of boxes")
	d.Tables = []*Table{pieces, left, entries, lots}
	d.part("Pieces that got it", s.gotNone(pieces), pieces, left)
	d.part("The tag", nil, lots)
	d.part("Every note about it", nil, entries)
	return d
}

func (s *Sheet) gotNone(t *Table) []string {
	if !t.Empty() {
		return nil
	}
	return []string{"By the record, none of it went out on any piece of ground."}
}

// tracedTo is each piece and day on which a lot went out.
func (s *Sheet) tracedTo(lot *farm.Lot) *Table {
	t := &Table{Name: "pieces", Title: "Pieces that got it", Note: "± holds the truth 9 times in 10.", columns: []column{
		wide("ground", "Ground", 1.3), wide("box", "Box", 1), col("first", "First day", day), col("last", "Last day", day), col("worked", "Worked", area),
		col("", "Seed", mass), col("doubt", "±", mass), col("", "Rate", bulk), col("cost", "Cost", money)}}
	var doubts []value
	for _, o := range s.sownWhere(func(w *went) bool { return w.lot == lot.ID && s.within(w.reading) }) {
		r := s.rateOf(&o)
		area, _ := s.workedThrough(o.box, o.ground)
		t.add(s.view.NameOf(o.ground), s.view.NameOf(o.box), o.first, o.last, area, known(o.mass, !o.unknown),
			known(halfWidth(o.std), !o.unknown), r.cell(r.rate), s.costOf(&o))
		doubts = append(doubts, inDoubt(s.rests.sown(o.box, o.ground)))
	}
	t.marked(doubts)
	return t
}

// about is every entry that is about a thing, as the audit shows it.
func (s *Sheet) about(id entry.ID) *Table {
	t := &Table{Name: "entries", Title: "Every note about it", columns: []column{
		col("time", "Time", clock), wide("person", "Who", 1), wide("device", "On", 1), wide("what", "What", 3), wide("counts", "Counts", 1.2), quiet("entry", prose)}}
	for i := range s.lines {
		l := &s.lines[i]
		if l.ID == id || concerns(l, id) {
			t.add(s.moment(l), l.By, l.Device, l.What, s.counts(l), l.ID.String())
		}
	}
	return t
}

func concerns(l *words.Line, id entry.ID) bool {
	for _, a := range l.About {
		if a == id {
			return true
		}
	}
	return false
}
