package report

import (
	"turnrow/client/answer"
	"turnrow/client/words"
	"turnrow/sync/farm"
)

// Ground is a piece of ground as it stands, whose figures rest on open doubts.
func (r Report) Ground(g farm.Ground, on []words.Doubt) answer.Ground {
	a := answer.Ground{Ground: g.Name, Acres: answer.Number(g.Area.Acres()), AcresDoneAtLeast: answer.Number(g.Done.Acres()), State: g.State, Finished: g.Finished,
		Sown: []answer.Sown{}, Plan: r.Planned(g), Doubted: DoubtIDs(on)}
	if !g.Open {
		a.AcresDone = answer.Some(g.Done.Acres())
	}
	if g.SlopeSet {
		a.Slope = answer.Some(g.Slope.Fraction())
	}
	for _, s := range g.Sown {
		o := answer.Sown{Lot: r.View().NameOf(s.Lot), Box: r.View().NameOf(s.Box), LbAtLeast: answer.Number(s.Mass.Pounds())}
		if s.Unknown == 0 {
			o.Lb = answer.Some(s.Mass.Pounds())
		}
		if s.Rate > 0 {
			o.LbPerAc = answer.Some(s.Rate.LbPerAcre())
		}
		if s.Aim > 0 {
			o.AimLbPerAc = answer.Some(s.Aim.LbPerAcre())
		}
		a.Sown = append(a.Sown, o)
	}
	return a
}

// Planned is each seed that is planned for a piece of ground.
func (r Report) Planned(g farm.Ground) []answer.Planned {
	out := []answer.Planned{}
	for _, p := range g.Plan {
		o := answer.Planned{Lot: r.View().NameOf(p.Lot), Box: r.View().NameOf(p.Box), Why: words.Of(r.View()).Text(p.Why)}
		if p.Live > 0 {
			o.LiveLbPerAc = answer.Some(p.Live.LbPerAcre())
		}
		if p.Seeds > 0 {
			o.SeedsPerFt2 = answer.Some(p.Seeds.PerSquareFoot())
		}
		if p.Bulk > 0 {
			o.BulkLbPerAc = answer.Some(p.Bulk.LbPerAcre())
			if m, err := p.Bulk.On(g.Area); err == nil && g.Area > 0 {
				o.Lb = answer.Some(m.Pounds())
			}
		}
		out = append(out, o)
	}
	return out
}
