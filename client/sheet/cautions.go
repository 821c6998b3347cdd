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

// cautions are what a person should weigh, by what the record says of the
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

func (s *Sheet) ofLot(l *farm.Lot, sown Day, keep func(*rate.Caution)) {
	for _, c := range LotCautions(l, sown) {
		keep(&c)
	}
}

func (s *Sheet) ofGround(g *farm.Ground, keep func(*rate.Caution)) {
	for _, c := range GroundCautions(g, s.mixOn(g.ID)) {
		keep(&c)
	}
}

// PlanCautions are what a plan gives reason to weigh before the seed is in the
// ground: those of its lots, sown on a day, and of its pieces of ground; only
// those about the things named, where any are. Each is there once.
func PlanCautions(v *farm.View, sown Day, only ...entry.ID) []rate.Caution {
	var out []rate.Caution
	wanted := func(id entry.ID) bool { return len(only) == 0 || slices.Contains(only, id) }
	keep := func(list []rate.Caution) {
		for _, c := range list {
			if !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	for i := range v.Grounds {
		g := &v.Grounds[i]
		var mix []rate.Species
		for _, p := range g.Plan {
			l, ok := v.LotOf(p.Lot)
			if !ok {
				continue
			}
			if wanted(l.ID) || wanted(g.ID) {
				keep(LotCautions(&l, sown))
			}
			if sp, err := rate.FindSpecies(l.Species); err == nil {
				mix = append(mix, sp)
			}
		}
		if len(g.Plan) > 0 && wanted(g.ID) {
			keep(GroundCautions(g, mix))
		}
	}
	for i := range v.Lots {
		if l := &v.Lots[i]; slices.Contains(only, l.ID) {
			keep(LotCautions(l, sown))
		}
	}
	return out
}

// LotCautions are what a lot's own tag and species give reason to weigh, where
// it is sown on a day.
func LotCautions(l *farm.Lot, sown Day) (out []rate.Caution) {
	about := func(c *rate.Caution) {
		if c != nil {
			out = append(out, rate.Caution{Text: "lot " + l.Name + ": " + c.Text, Source: c.Source})
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
	return out
}

// GroundCautions are what a piece's slope, nurse crop and later spray give
// reason to weigh, for the species that go onto it.
func GroundCautions(g *farm.Ground, mix []rate.Species) (out []rate.Caution) {
	about := func(c *rate.Caution) {
		if c != nil {
			out = append(out, rate.Caution{Text: g.Name + ": " + c.Text, Source: c.Source})
		}
	}
	if g.SlopeSet && g.Slope <= units.Whole {
		if n, err := rate.NurseCrop(g.Slope, false, g.Nurse != "" || holdsNurse(mix)); err == nil && n != nil {
			about(&n.Caution)
		}
	}
	about(rate.ShadedLegume(mix, g.Nurse != ""))
	if c := rate.SprayOverLegume(mix, g.Spray != ""); c != nil {
		about(&rate.Caution{Text: "a later spray is intended (" + g.Spray + "): " + c.Text, Source: c.Source})
	}
	return out
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
