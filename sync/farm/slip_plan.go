package farm

import (
	"fmt"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// published is the lowest and the highest rate that is published for a species,
// alone or in a mixture.
type published struct {
	low, high units.RatePerArea
	source    string
}

// span is the lowest and the highest, with the unit once.
func (p published) span(s units.System) string {
	low, _, _ := strings.Cut(p.low.Format(s), " ")
	return low + " to " + p.high.Format(s)
}

func publishedRates(species string) (p published, ok bool) {
	sp, err := rate.FindSpecies(species)
	if err != nil {
		return p, false
	}
	for _, kind := range []string{"seeding_rate_alone", "seeding_rate_in_mixture"} {
		for _, f := range sp.Figures(kind) {
			low, high, plain := f.Range()
			from, err1 := units.RateFromLbPerAcre(low)
			to, err2 := units.RateFromLbPerAcre(high)
			if !plain || f.Unit != "lb/ac" || err1 != nil || err2 != nil {
				continue
			}
			if !ok || from < p.low {
				p.low = from
			}
			if !ok || to > p.high {
				p.high = to
			}
			p.source, ok = f.Source.Publisher, true
		}
	}
	return p, ok
}

// usualRates is what is published for each species, as it is written.
type usualRates map[string]published

func (m usualRates) of(species string) published {
	p, seen := m[species]
	if !seen {
		p, _ = publishedRates(species)
		m[species] = p
	}
	return p
}

// planSlips finds planned rates that lie far outside of what is published for
// their species.
func (s *slipSt) planSlips(t *thing, usual usualRates) []slip {
	var out []slip
	for i := range t.fields {
		f := &t.fields[i]
		by, v, ok := f.shown()
		if f.num != planComponent || !ok || v.s != "" || v.n == 0 {
			continue
		}
		if _, plans := by.eff.(*entry.PlanSet); !plans {
			continue // somebody has chosen it among two
		}
		p, r := usual.of(s.speciesOf(f.x)), units.RatePerArea(v.n)
		if rate.FarFromUsual(r, p.low, p.high) {
			out = append(out, s.planSlip(t, by, f.field, r, p))
		}
	}
	return out
}

func (s *slipSt) planSlip(t *thing, by *rec, f field, r units.RatePerArea, p published) slip {
	return slip{
		finding: finding{UnlikelyRate, "plan of ground " + s.name(t.id) + ": " + s.name(f.x) + " in " + s.name(f.y), []*rec{by}},
		field:   "live", figure: entry.Some(int64(r)),
		says: func() slipWords {
			w := slipWords{written: r.Format(s.system()) + " live", why: fmt.Sprintf("%s live of %s is far from the %s that %s publishes",
				r.Format(s.system()), s.speciesOf(f.x), p.span(s.system()), p.source)}
			to, how := r/10, "a point left out"
			if r < p.low {
				to, how = r*10, "a point too many"
			}
			if to >= p.low && to <= p.high {
				w.instead = []meant{{text: to.Format(s.system()), how: how, value: entry.Some(int64(to)), body: s.replanned(by, f, to)}}
			}
			return w
		},
	}
}

// replanned is a plan with another rate for one of its seeds.
func (s *slipSt) replanned(by *rec, f field, to units.RatePerArea) entry.Body {
	b := *by.eff.(*entry.PlanSet)
	b.Components = slices.Clone(b.Components)
	for i := range b.Components {
		if c := &b.Components[i]; s.canon(c.Lot) == f.x && s.canon(c.Box) == f.y {
			c.Live = to
		}
	}
	return &b
}
