package sheet

import (
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

const foot = "Made with turnrow from the crew's own record. Every figure can be traced to its notes: turnrow why, turnrow log."

func (s *Sheet) document(name, title string) *Document {
	return &Document{Name: name, Title: title, Farm: s.view.Name, System: s.System, Sign: s.view.MoneySign, Made: s.Made.In(s.Zone),
		Foot: foot, Cautions: s.cautions()}
}

// facts are the figures at the head of a sheet of days. Those without a head
// are for programs alone: the title says them.
func (s *Sheet) facts(d *Document) {
	for i := range s.sums {
		d.doubted = d.doubted || len(s.rests.sown(s.sums[i].box, s.sums[i].ground)) > 0
	}
	d.Facts = []Fact{{"from", "", day, s.Span.From}, {"to", "", day, s.Span.To}}
	if s.Span.From == s.Span.To {
		d.Facts = []Fact{{"date", "", day, s.Span.From}}
	}
	d.Facts = append(d.Facts,
		Fact{"worked", "Worked, by the counter", area, s.worked(entry.ID{})},
		Fact{"seed_cost", "Cost of the seed that went out", money, s.paid()},
		Fact{"open_doubts", "Doubts that wait for a person", whole, int64(s.view.Open)},
		Fact{"entries", "Notes of " + s.theseDays(), whole, int64(len(s.lines))},
		Fact{"waiting", "Notes held back until others arrive", whole, int64(s.view.Waiting)})
}

func (s *Sheet) theseDays() string {
	if s.Span.From == s.Span.To {
		return "this day"
	}
	return "these days"
}

// DaySheet lays out one day, or a few.
func (s *Sheet) DaySheet() *Document {
	name := "day-" + s.Span.From.String()
	if s.Span.From != s.Span.To {
		name += "-to-" + s.Span.To.String()
	}
	d := s.document(name, "Day sheet, "+s.Span.Long())
	s.facts(d)
	ground, sown := s.ground(false), s.sown(s.sums)
	dials, catches, boxes, fills, left, balance := s.dials(), s.catches(), s.dialsNow(), s.fills(), s.emptied(), s.balance()
	hitch, lots, costs, doubts, come, stands := s.hitching(), s.tags(s.usedInSpan), s.costs(s.sums), s.doubts(), s.comeUp(), s.stands()
	counter, bags, corrections, notes := s.counter(), s.bags(), s.corrections(), s.notes()
	d.Tables = []*Table{sown, ground, counter, dials, catches, fills, left, bags, balance, boxes, hitch, lots, costs, doubts, come, stands, corrections, notes}

	d.part("Ground", s.nothingDone(ground), ground)
	s.pieces(d, sown)
	d.part("Counter", nil, counter)
	d.part("Dials and catches", nil, dials, catches)
	d.part("Seed in the boxes", nil, fills, left, bags, balance, boxes)
	d.part("Hitch", s.standingHitch(), hitch)
	d.part("Seed lots", nil, lots)
	d.part("Costs", nil, costs)
	d.part("Doubts", nil, doubts)
	d.part("What to look for, and when", s.unknownSpecies(), come, stands)
	d.part("Notes and corrections", nil, notes, corrections)
	return d
}

func (s *Sheet) nothingDone(ground *Table) []string {
	if !ground.Empty() {
		return nil
	}
	return []string{"The counter moved on no piece of ground."}
}

// pieces lays out each piece that was sown: its plan, what went where, and the
// pictures.
func (s *Sheet) pieces(d *Document, sown *Table) {
	for i := range s.view.Grounds {
		g := &s.view.Grounds[i]
		list := s.sownOn(g.ID)
		if len(list) == 0 {
			continue
		}
		sec := Section{Title: g.Name, Lines: s.planLines(g), Tables: []*Table{sown.only("ground", g.Name, "What went onto "+g.Name).hidden()}}
		for _, p := range []*Picture{s.rateAgainstAim(list), s.outline(g)} {
			if p != nil {
				sec.Pictures = append(sec.Pictures, p)
			}
		}
		d.Sections = append(d.Sections, sec)
	}
}

func (s *Sheet) sownOn(ground entry.ID) []sown {
	var list []sown
	for _, o := range s.sums {
		if o.ground == ground {
			list = append(list, o)
		}
	}
	return list
}

// planLines is a piece's plan in sentences, as far as the tables do not say it.
func (s *Sheet) planLines(g *farm.Ground) []string {
	var out []string
	if g.Depth > 0 {
		out = append(out, "Planned depth "+g.Depth.Format(s.System)+".")
	}
	for _, p := range g.Plan {
		if s.notSown(g.ID, p) {
			aim := p.Live.Format(s.System) + " live"
			if p.Bulk > 0 {
				aim = p.Bulk.Format(s.System)
			}
			out = append(out, "Planned, and not sown on "+s.theseDays()+": "+s.view.NameOf(p.Lot)+" in box "+s.view.NameOf(p.Box)+" at "+aim+".")
		}
		if !p.Why.IsZero() {
			out = append(out, "No bulk rate for "+s.view.NameOf(p.Lot)+": "+words.Of(s.view).Text(p.Why)+".")
		}
	}
	if g.Notes != "" {
		out = append(out, g.Notes)
	}
	return out
}

func (s *Sheet) notSown(ground entry.ID, p farm.Planned) bool {
	for _, o := range s.sownOn(ground) {
		if o.lot == p.Lot && o.box == p.Box {
			return false
		}
	}
	return true
}
