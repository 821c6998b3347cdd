package sheet

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// always stands at the end of every sheet.
var always = []string{
	"A record does not make a machine safe. Before anyone stands between tractor and drill: in park, engine off, key out. Block what is raised before anyone reaches under it.",
	"Never feel for a hydraulic leak by hand; see a doctor at once for any injection injury, however small it looks.",
	"Treated seed and its dust want the protection that the tag names. The machine's own manual, the seed's tag, local law and trained supervision come before anything written here.",
	"Rates come from published guidance and from what the crew weighed: local extension advice and licensed practice stand above them.",
}

// testLimit is the age in months from which a germination test is called old:
// the Pennsylvania rule of one year; states allow from 9 to 15.
const testLimit = 12

// Cautions are what a person should weigh, by what the record says of the
// span; the last ones stand on every sheet.
func (s *Sheet) cautions() []string {
	var out []string
	keep := func(c *rate.Caution) {
		if c != nil && !slices.Contains(out, c.String()) {
			out = append(out, c.String())
		}
	}
	for _, o := range s.sums {
		if l, ok := s.view.LotOf(o.lot); ok {
			s.ofLot(&l, o.first, keep)
		}
		if !o.proved {
			c := rate.TrustNoChart()
			keep(&c)
		}
	}
	for i := range s.view.Grounds {
		if g := &s.view.Grounds[i]; s.worked(g.ID) > 0 {
			s.ofGround(g, keep)
		}
	}
	return append(out, always...)
}

// cautionsOf are those about one lot, and the ones that stand on every sheet.
func (s *Sheet) cautionsOf(l *farm.Lot) []string {
	var out []string
	s.ofLot(l, s.Span.To, func(c *rate.Caution) { out = append(out, c.String()) })
	return append(out, always...)
}

// ofLot is what a lot's own tag and species give reason to weigh.
func (s *Sheet) ofLot(l *farm.Lot, sown Day, keep func(*rate.Caution)) {
	about := func(c *rate.Caution) {
		if c != nil {
			keep(&rate.Caution{Text: "lot " + l.Name + ": " + c.Text, Source: c.Source})
		}
	}
	for _, c := range l.Tag.Cautions() {
		about(&c)
	}
	if l.Tested > 0 {
		month := func(d Day) rate.TestMonth {
			t := d.time()
			return rate.TestMonth{Year: t.Year(), Month: int(t.Month())}
		}
		if c, err := rate.OldTest(month(Day(l.Tested)), month(sown), testLimit); err == nil {
			about(c)
		}
	}
	if sp, err := rate.FindSpecies(l.Species); err == nil {
		about(rate.Inoculate(sp, l.Inoculant != ""))
	}
}

// ofGround is what a piece's slope, nurse crop and later spray give reason to
// weigh.
func (s *Sheet) ofGround(g *farm.Ground, keep func(*rate.Caution)) {
	about := func(c *rate.Caution) {
		if c != nil {
			keep(&rate.Caution{Text: g.Name + ": " + c.Text, Source: c.Source})
		}
	}
	mix := s.mixOn(g.ID)
	if g.SlopeSet && g.Slope <= units.Whole {
		if n, err := rate.NurseCrop(g.Slope, false, g.Nurse != "" || holdsNurse(mix)); err == nil && n != nil {
			about(&n.Caution)
		}
	}
	about(rate.ShadedLegume(mix, g.Nurse != ""))
	if c := rate.SprayOverLegume(mix, g.Spray != ""); c != nil {
		about(&rate.Caution{Text: "a later spray is intended (" + g.Spray + "): " + c.Text, Source: c.Source})
	}
}

// mixOn is the species that went onto a piece within the span.
func (s *Sheet) mixOn(ground entry.ID) []rate.Species {
	var mix []rate.Species
	for _, o := range s.sums {
		l, ok := s.view.LotOf(o.lot)
		if !ok || o.ground != ground {
			continue
		}
		sp, err := rate.FindSpecies(l.Species)
		if err == nil && !slices.ContainsFunc(mix, func(m rate.Species) bool { return m.Name == sp.Name }) {
			mix = append(mix, sp)
		}
	}
	return mix
}

// quick are the cereals that shelter a new pasture where they are in the mix:
// common practice, no source.
var quick = []string{"Avena sativa", "Secale cereale", "Triticum aestivum", "Hordeum vulgare", "x Triticosecale"}

func holdsNurse(mix []rate.Species) bool {
	return slices.ContainsFunc(mix, func(sp rate.Species) bool { return slices.Contains(quick, sp.Latin) })
}
