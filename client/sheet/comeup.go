package sheet

import (
	"slices"
	"strings"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/rate"
)

// Look is when to look for the plants of a species on a piece of ground.
type Look struct {
	Ground  entry.ID
	Name    string // of the piece
	Species string
	Sown    Span
	First   Day // the first day on which any may show
	Last    Day // the day by which they show where nothing holds them back
	Count   Day // from this day on what is missing is late: count the stand
	Source  string
}

// Looks is when to look for each species that was sown within the span, by
// the published days of germination tests. Species that the built-in table
// has no days for are left out, and named by unknownSpecies.
func (s *Sheet) Looks() []Look {
	var list []Look
	for _, o := range s.sums {
		l, ok := s.view.LotOf(o.lot)
		g, known := s.view.GroundOf(o.ground)
		if !ok || !known || o.mass <= 0 {
			continue
		}
		sp, err := rate.FindSpecies(l.Species)
		if err != nil {
			continue
		}
		if first, last, src, ok := rate.ComeUpDays(sp); ok {
			list = expect(list, Look{Ground: o.ground, Name: g.Name, Species: sp.Name, Sown: Span{o.first, o.last}, Source: src.String()}, first, last)
		}
	}
	return list
}

// expect adds a look, or widens the one of the same species and piece.
func expect(list []Look, l Look, first, last int) []Look {
	i := slices.IndexFunc(list, func(o Look) bool { return o.Ground == l.Ground && o.Species == l.Species })
	if i >= 0 {
		l.Sown = Span{min(l.Sown.From, list[i].Sown.From), max(l.Sown.To, list[i].Sown.To)}
	}
	early, err1 := rate.ComeUpFrom(int64(l.Sown.From), first, last)
	late, err2 := rate.ComeUpFrom(int64(l.Sown.To), first, last)
	if err1 != nil || err2 != nil {
		return list
	}
	l.First, l.Last, l.Count = Day(early.First), Day(late.Last), Day(late.Late)
	if i >= 0 {
		list[i] = l
		return list
	}
	return append(list, l)
}

// comeUp is what to look for, when.
func (s *Sheet) comeUp() *Table {
	t := &Table{Name: "come_up", Title: "What to look for, and when",
		Note: "Days of a germination test, from the day of sowing: in a field it is rarely sooner, and in cold or dry soil later. Too early says nothing; from the count day on, what is missing is late.",
		columns: []column{wide("ground", "Ground", 1.1), wide("species", "Species", 1.2), col("sown_from", "Sown from", day), col("sown_to", "to", day),
			col("first", "First may show", day), col("last", "All should show", day), col("count", "Count the stand", day), quiet("source", prose)}}
	for _, l := range s.Looks() {
		if !strings.Contains(t.Note, l.Source) {
			t.Note += " Source: " + l.Source + "."
		}
		t.add(l.Name, l.Species, l.Sown.From, l.Sown.To, l.First, l.Last, l.Count, l.Source)
	}
	return t
}

// unknownSpecies says which species the table of days lacks.
func (s *Sheet) unknownSpecies() []string {
	var names []string
	for _, o := range s.sums {
		l, _ := s.view.LotOf(o.lot)
		sp, err := rate.FindSpecies(l.Species)
		if err == nil {
			if _, _, _, ok := rate.ComeUpDays(sp); ok {
				continue
			}
		}
		if l.Species != "" && !slices.Contains(names, l.Species) {
			names = append(names, l.Species)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{"No published days were found for " + strings.Join(names, ", ") + ": ask the seed's dealer or the local extension office."}
}

// stands is the counts of plants that came up.
func (s *Sheet) stands() *Table {
	t := &Table{Name: "stands", Title: "Stand counts", Note: "From and to hold the true mean 19 times in 20.", columns: []column{
		col("day", "Day", day), wide("ground", "Ground", 1.2), wide("species", "Species", 1.2), col("frames", "Frames", whole), col("", "Plants", density),
		col("low", "From", density), col("high", "To", density), wide("verdict", "Against the threshold", 1.8), wide("person", "Who", 0.9), wide("note", "Note", 1.2)}}
	standing(s, func(l *words.Line, b *entry.StandCounted) {
		frame, err := b.Frame, error(nil)
		if b.Row > 0 {
			frame, err = rate.FrameOfRow(b.Row, b.Spacing)
		}
		for _, c := range b.Counts {
			var mean, low, high value
			verdict := ""
			if st, bad := rate.StandOf(frame, c.Plants); err == nil && bad == nil {
				mean, low, high = st.Mean, st.Low, st.High
				verdict = s.verdict(st, c.Species)
			}
			name := c.Species
			if name == "" {
				name = "all together"
			}
			t.add(Day(b.Day), s.view.NameOf(b.Ground), name, int64(len(c.Plants)), mean, low, high, verdict, l.By, noted(l, b.Note))
		}
	})
	return t
}

func (s *Sheet) verdict(st rate.Stand, species string) string {
	sp, err := rate.FindSpecies(species)
	if err != nil {
		return ""
	}
	th, ok := rate.ThresholdFor(sp)
	if !ok {
		return "no published threshold"
	}
	return string(st.Against(th)) + ": least " + th.Least.Format(s.System) + " (" + th.Source.Publisher + ")"
}
