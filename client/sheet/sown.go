package sheet

import (
	"cmp"
	"math"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// sown is seed of one lot that went through one box onto one piece of ground.
type sown struct {
	ground, lot, box entry.ID
	mass, std        units.Mass
	cost             units.Money
	proved           bool
	unknown          bool // some went out at no known rate: mass is the least
	first, last      Day
}

// sownWhere gathers what went out, of the stretches that are wanted.
func (s *Sheet) sownWhere(wanted func(*went) bool) []sown {
	var list []sown
	for i := range s.went {
		w := &s.went[i]
		d, ok := s.dayOf(w.reading)
		if !ok || !wanted(w) {
			continue
		}
		at := slices.IndexFunc(list, func(o sown) bool { return o.ground == w.ground && o.lot == w.lot && o.box == w.box })
		if at < 0 {
			at = len(list)
			list = append(list, sown{ground: w.ground, lot: w.lot, box: w.box, proved: true, first: d, last: d})
		}
		list[at].take(w, d)
	}
	slices.SortStableFunc(list, func(a, b sown) int {
		return cmp.Or(s.placeOf(a.ground)-s.placeOf(b.ground), a.box.Compare(b.box), a.lot.Compare(b.lot))
	})
	return list
}

// take adds a stretch. The doubts of one box's stretches add up as they are:
// they come from one rate, and so are one and the same error.
func (o *sown) take(w *went, d Day) {
	o.mass, o.std, o.cost = o.mass+w.mass, o.std+w.std, o.cost+w.cost
	o.proved, o.unknown = o.proved && w.proved, o.unknown || w.unknown
	o.first, o.last = min(o.first, d), max(o.last, d)
}

func (s *Sheet) placeOf(ground entry.ID) int {
	return slices.IndexFunc(s.view.Grounds, func(g farm.Ground) bool { return g.ID == ground })
}

// halfWidth is half the width of the 90 % interval of a mass.
func halfWidth(std units.Mass) units.Mass {
	_, high := rate.Estimate{Std: float64(std), Freedom: rate.Known}.Interval(rate.Confidence)
	return units.Mass(math.Round(high))
}

// planned is what the plan wants of a lot through a box on a piece of ground.
func (s *Sheet) planned(o *sown) (farm.Planned, bool) {
	g, _ := s.view.GroundOf(o.ground)
	i := slices.IndexFunc(g.Plan, func(p farm.Planned) bool { return p.Lot == o.lot && p.Box == o.box })
	if i < 0 {
		return farm.Planned{}, false
	}
	return g.Plan[i], true
}

// sown is what went where, against the plan.
func (s *Sheet) sown(list []sown) *Table {
	t := &Table{Name: "sown", Title: "What went where",
		Note: "Rate: the seed over the ground that its drill worked there. ± holds the truth 9 times in 10. Live: bulk × the tag's live share. Off: all seed of the species through the box, against what the plan wants of it.",
		columns: []column{
			wide("ground", "Ground", 1.2), wide("species", "Species", 1.3), wide("variety", "Variety", 1), wide("lot", "Lot", 1),
			wide("box", "Box", 0.9), col("", "Seed", mass), col("doubt", "±", mass), col("", "Rate", bulk), quiet("low", bulk), quiet("high", bulk),
			col("aim", "Aim", bulk), col("off_share", "Off", share), col("live_share", "Live", share), col("live", "Live", bulk), col("live_aim", "Live aim", bulk),
			col("cost", "Cost", money), quiet("proved", prose)}}
	var doubts []value
	for i := range list {
		s.sownRow(t, &list[i], list)
		doubts = append(doubts, inDoubt(s.rests.sown(list[i].box, list[i].ground)))
	}
	t.marked(doubts)
	return t
}

func (s *Sheet) sownRow(t *Table, o *sown, list []sown) {
	l, _ := s.view.LotOf(o.lot)
	r := s.rateOf(o)
	p, _ := s.planned(o)
	var off, share, live value
	if g := s.together(o, list); g.aim > 0 && r.known {
		off = offShare(g.rate, g.aim)
	}
	if x, err := l.Tag.Live(); l.Tagged && err == nil {
		share = x.Share()
		if part, err := rate.LivePart(r.rate, x); err == nil && r.known {
			live = part
		}
	}
	t.add(s.view.NameOf(o.ground), l.Species, l.Variety, s.view.NameOf(o.lot), s.view.NameOf(o.box), known(o.mass, !o.unknown), known(halfWidth(o.std), !o.unknown),
		r.cell(r.rate), r.cell(r.low), r.cell(r.high), orBlank(p.Bulk), off, share, live, orBlank(p.Live), s.costOf(o), o.proved)
}

// wentRate is the rate at which seed went onto a piece of ground, with the
// interval that holds the truth 9 times in 10, the counter's own error included.
type wentRate struct {
	rate, low, high units.RatePerArea
	aim             units.RatePerArea // what the plan wants of it
	known           bool              // the counter moved there
}

func (r wentRate) cell(v units.RatePerArea) value {
	if !r.known {
		return nil
	}
	return v
}

func (s *Sheet) rateOf(o *sown) wentRate {
	area, checked := s.workedThrough(o.box, o.ground)
	if area <= 0 || o.unknown {
		return wentRate{}
	}
	if o.mass == 0 {
		return wentRate{known: true}
	}
	r, err := rate.OnGround(rate.Weighed{Mass: o.mass, Std: o.std}, area, checked)
	return wentRate{rate: r.Rate, low: r.Low, high: r.High, known: err == nil}
}

// together is the rate of all seed of one species that went through one box
// onto a piece, whatever lots it was of, against what the plan wants of the
// species through that box.
func (s *Sheet) together(o *sown, list []sown) wentRate {
	species := s.species(o.lot)
	same := func(lot entry.ID) bool { return lot == o.lot || species != "" && s.species(lot) == species }
	all := sown{ground: o.ground, box: o.box}
	for i := range list {
		if x := &list[i]; x.ground == o.ground && x.box == o.box && same(x.lot) {
			all.mass, all.std, all.unknown = all.mass+x.mass, all.std+x.std, all.unknown || x.unknown
		}
	}
	r := s.rateOf(&all)
	g, _ := s.view.GroundOf(o.ground)
	for _, p := range g.Plan {
		if p.Box == o.box && same(p.Lot) {
			r.aim += p.Bulk
		}
	}
	return r
}

func (s *Sheet) species(lot entry.ID) string {
	l, _ := s.view.LotOf(lot)
	return l.Species
}

// offShare is how far a rate is from its aim, as a share of the aim.
func offShare(r, aim units.RatePerArea) value {
	v, err := units.MulDiv(int64(r-aim), int64(units.Whole), int64(aim))
	if err != nil {
		return nil
	}
	return units.Share(v)
}
