package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/rate"
)

func (s *core) track(boxID entry.ID) []work.Moment {
	t, ok := s.ByID[boxID]
	if !ok || t.Kind != thing.Box {
		return nil
	}
	s.now() // what it rests on is found there
	return s.Followed(t, s.DrillFor(t), true).Moments
}

func (s *core) curve(boxID, lotID entry.ID) (work.Curve, error) {
	t, ok := s.ByID[boxID]
	if !ok || t.Kind != thing.Box {
		return work.Curve{}, rate.ErrNothingKnown
	}
	s.now() // what it rests on is found there
	f := s.Followed(t, s.DrillFor(t), false)
	fit, err := s.CrankFit(t, f.Drill, lotID)
	if err != nil {
		if fit, err = s.WeighedFit(t, lotID, f.Outs); err != nil {
			return work.Curve{}, err
		}
	}
	c := work.Curve{Fit: fit}
	asides := s.Asides(t, f.Drill, lotID, fit)
	for r := range t.Did(entry.KindCaught) {
		b := r.Eff.(*entry.Caught)
		if !s.LikeSeed(b.Lot, lotID) {
			continue
		}
		if cr, err := s.CatchRate(b, f.Drill); err == nil {
			c.Catches = append(c.Catches, work.CaughtRate{Entry: r.ID(), Lot: b.Lot, Dial: b.Dial, Rate: cr, Aside: asides[r]})
		}
	}
	for _, o := range f.Outs {
		if s.LikeSeed(o.Lot, lotID) && len(o.Dials) == 1 {
			c.Outs = append(c.Outs, o.Out.Measured(o.Dials[0]))
		}
	}
	return c, nil
}
