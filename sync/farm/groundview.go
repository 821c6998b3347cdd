package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func (s *viewSt) groundView(t *thing, v *View) Ground {
	num := func(n int) int64 { x, _ := t.num(n); return x }
	g := Ground{
		ID: t.id, Name: t.text(groundName), Area: units.Area(num(groundArea)), State: t.text(groundState),
		Notes: t.text(groundNotes), Spray: t.text(groundSpray), Boundary: t.text(groundRings),
		Depth: units.Length(num(planDepth)), Nurse: t.text(planNurse),
	}
	var slope int64
	slope, g.SlopeSet = t.num(groundSlope)
	g.Slope = units.Share(slope)
	g.Finished = num(fieldFinished) != 0
	if r := t.reg(field{num: fieldFinished}, false).finishedBy(); r != nil {
		g.FinishedBy = r.id()
	}
	g.Plan = s.planned(t, v)
	for _, r := range t.events.all() {
		g.Stands = append(g.Stands, r.id())
	}
	for _, d := range s.byKind[drill] {
		l := s.counterOf(d)
		for i := range l.points {
			if p := &l.points[i]; p.ground == t.id {
				g.Done += s.worked(d, p)
				g.Open = g.Open || p.open
				g.rests(l, p)
			}
		}
		g.back(l)
	}
	return g
}

// rests adds what a stretch rests on.
func (g *Ground) rests(l *line, p *point) {
	if p.behind != nil {
		if id := p.behind.id(); len(g.Events) == 0 || g.Events[len(g.Events)-1] != id {
			g.Events = append(g.Events, id)
		}
	}
	if p.open && p.behind != nil {
		g.Events = append(g.Events, l.pour.id())
	}
	g.Events = append(g.Events, p.rec.id())
}

// back adds what is in doubt of a counter that ran back, where it would change
// the acres of the piece: it was read there, or below readings there.
func (g *Ground) back(l *line) {
	for i := range l.back {
		b := &l.back[i]
		if b.ground == g.ID || slices.ContainsFunc(l.points, func(p point) bool { return p.ground == g.ID && p.total > b.total }) {
			g.Back = append(g.Back, b.rec.id())
		}
	}
}

// planned is the components of a plan, with the bulk rate of each by its
// lot's tag.
func (s *viewSt) planned(t *thing, v *View) []Planned {
	var out []Planned
	for i := range t.fields {
		f := &t.fields[i]
		if f.num != planComponent {
			continue
		}
		_, val, ok := f.shown()
		if !ok || val.s != "" {
			continue
		}
		p := Planned{Lot: f.x, Box: f.y, Live: units.RatePerArea(val.n), Seeds: units.Density(val.m)}
		l, _ := v.LotOf(f.x)
		p.bulk(&l)
		out = append(out, p)
	}
	return out
}

// bulk works out the bulk rate, or says why it cannot.
func (p *Planned) bulk(l *Lot) {
	if !l.Tagged {
		p.Why = "the lot's tag is not typed in: purity and germination are wanted"
		return
	}
	live, err := l.Tag.Live()
	if err != nil {
		p.Why = err.Error()
		return
	}
	if p.Seeds > 0 {
		size, why := seedSize(l)
		if why != "" {
			p.Why = why
			return
		}
		if p.Bulk, err = rate.RateForSeeds(p.Seeds, live, size); err == nil {
			p.Live, err = rate.LivePart(p.Bulk, live)
		}
	} else {
		p.Bulk, err = rate.Bulk(p.Live, live)
	}
	if err != nil {
		p.Why = err.Error()
	}
}

// seedSize is the lot's own count, or the built-in table's for its species.
func seedSize(l *Lot) (rate.SeedSize, string) {
	if l.SeedsPerKg > 0 {
		kg := units.Mass(1_000_000)
		size, err := rate.SeedSample(units.Count(l.SeedsPerKg*1000), kg)
		if err != nil {
			return 0, err.Error()
		}
		return size, ""
	}
	sp, err := rate.FindSpecies(l.Species)
	if err != nil {
		return 0, err.Error()
	}
	c, ok := sp.SeedCount()
	if !ok {
		return 0, "no seed count is known for " + l.Species + ": set the lot's own"
	}
	return c.Size, ""
}

// sow adds what went out of a box to the pieces of ground.
func (s *viewSt) sow(v *View, t *thing, f *flow) {
	for i := range v.Grounds {
		g := &v.Grounds[i]
		for _, p := range f.sown {
			if p.ground == g.ID {
				g.add(p, t.id)
			}
		}
		for j := range g.Sown {
			sown := &g.Sown[j]
			if sown.Box != t.id {
				continue
			}
			if r, err := sown.Mass.Over(g.Done); err == nil && g.Done > 0 && !g.Open && sown.Unknown == 0 {
				sown.Rate = r
			}
			for _, pl := range g.Plan {
				if pl.Lot == sown.Lot && pl.Box == t.id {
					sown.Aim = pl.Bulk
				}
			}
		}
		slices.SortStableFunc(g.Sown, func(a, b Sown) int { return cmp.Or(a.Box.Compare(b.Box), a.Lot.Compare(b.Lot)) })
	}
}

func (g *Ground) add(p portion, boxID entry.ID) {
	i := slices.IndexFunc(g.Sown, func(s Sown) bool { return s.Lot == p.lot && s.Box == boxID })
	if i < 0 {
		i = len(g.Sown)
		g.Sown = append(g.Sown, Sown{Lot: p.lot, Box: boxID})
	}
	s := &g.Sown[i]
	s.Mass += p.mass
	s.Area += p.area
	s.Doubt += p.doubt
	if p.unknown {
		s.Unknown += p.area
	}
}
