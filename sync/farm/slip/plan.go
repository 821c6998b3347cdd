package slip

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// published is the lowest and the highest rate that is published for a species,
// alone or in a mixture.
type published struct {
	low, high units.RatePerArea
	source    string
}

// span is the lowest and the highest.
func (p published) span() message.Arg { return message.Range(p.low, p.high) }

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
func (s *Slips) planSlips(t *thing.Thing, usual usualRates) []Slip {
	var out []Slip
	for i := range t.Fields {
		f := &t.Fields[i]
		by, v, ok := f.Shown()
		if f.Num != thing.PlanComponent || !ok || v.S != "" || v.N == 0 {
			continue
		}
		if _, plans := by.Eff.(*entry.PlanSet); !plans {
			continue // somebody has chosen it among two
		}
		p, r := usual.of(s.SpeciesOf(f.X)), units.RatePerArea(v.N)
		if rate.FarFromUsual(r, p.low, p.high) {
			out = append(out, s.planSlip(t, by, f.Field, r, p))
		}
	}
	return out
}

func (s *Slips) planSlip(t *thing.Thing, by *order.Rec, f thing.Field, r units.RatePerArea, p published) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.UnlikelyRate, About: s.FieldText(t, f), Recs: []*order.Rec{by}},
		field:   "live", figure: entry.Some(int64(r)),
		says: func() reason {
			w := reason{written: message.Of("value.live", message.Rate(r)), why: message.Of("slip.plan-rate",
				message.Rate(r), message.Text(s.SpeciesOf(f.X)), p.span(), message.Text(p.source))}
			to, how := r/10, message.Of("how.point-left-out")
			if r < p.low {
				to, how = r*10, message.Of("how.point-too-many")
			}
			if to >= p.low && to <= p.high {
				w.instead = []meant{{text: shown(message.Rate(to)), how: how, value: entry.Some(int64(to)), body: s.replanned(by, f, to)}}
			}
			return w
		},
	}
}

// replanned is a plan with another rate for one of its seeds.
func (s *Slips) replanned(by *order.Rec, f thing.Field, to units.RatePerArea) entry.Body {
	b := *by.Eff.(*entry.PlanSet)
	b.Components = slices.Clone(b.Components)
	for i := range b.Components {
		if c := &b.Components[i]; s.Canon(c.Lot) == f.X && s.Canon(c.Box) == f.Y {
			c.Live = to
		}
	}
	return &b
}
