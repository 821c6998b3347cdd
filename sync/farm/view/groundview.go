package view

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func (s *Views) groundView(t *thing.Thing, v *View) Ground {
	num := func(n int) int64 { x, _ := t.Num(n); return x }
	g := Ground{
		ID: t.ID, Name: t.Text(thing.GroundName), Area: units.Area(num(thing.GroundArea)), State: t.Text(thing.GroundState),
		Notes: t.Text(thing.GroundNotes), Spray: t.Text(thing.GroundSpray), Boundary: t.Text(thing.GroundRings),
		Depth: units.Length(num(thing.PlanDepth)), Nurse: t.Text(thing.PlanNurse),
	}
	var slope int64
	slope, g.SlopeSet = t.Num(thing.GroundSlope)
	g.Slope = units.Share(slope)
	g.Finished = num(thing.FieldFinished) != 0
	if r := t.Reg(thing.Field{Num: thing.FieldFinished}, false).FinishedBy(); r != nil {
		g.FinishedBy = r.ID()
	}
	g.Plan = s.planned(t, v)
	for _, r := range t.Events.All() {
		g.Stands = append(g.Stands, r.ID())
	}
	for _, d := range s.ByKind[thing.Drill] {
		l := s.CounterOf(d)
		for i := range l.Points {
			if p := &l.Points[i]; p.Ground == t.ID {
				g.Done += s.Worked(d, p)
				g.Open = g.Open || p.Open
				g.rests(l, p)
			}
		}
		g.back(l)
	}
	return g
}

// rests adds what a stretch rests on.
func (g *Ground) rests(l *work.CounterLine, p *work.Point) {
	if p.Behind != nil {
		if id := p.Behind.ID(); len(g.Events) == 0 || g.Events[len(g.Events)-1] != id {
			g.Events = append(g.Events, id)
		}
	}
	if p.Open && p.Behind != nil {
		g.Events = append(g.Events, l.Pour.ID())
	}
	g.Events = append(g.Events, p.Rec.ID())
}

// back adds what is in doubt of a counter that ran back, where it would change
// the acres of the piece: it was read there, or below readings there.
func (g *Ground) back(l *work.CounterLine) {
	for i := range l.Back {
		b := &l.Back[i]
		if b.Ground == g.ID || slices.ContainsFunc(l.Points, func(p work.Point) bool { return p.Ground == g.ID && p.Total > b.Total }) {
			g.Back = append(g.Back, b.Rec.ID())
		}
	}
}

// planned is the components of a plan, with the bulk rate of each by its
// lot's tag.
func (s *Views) planned(t *thing.Thing, v *View) []Planned {
	var out []Planned
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Num != thing.PlanComponent {
			continue
		}
		_, val, ok := f.Shown()
		if !ok || val.S != "" {
			continue
		}
		p := Planned{Lot: f.X, Box: f.Y, Live: units.RatePerArea(val.N), Seeds: units.Density(val.M)}
		l, _ := v.LotOf(f.X)
		p.bulk(&l)
		out = append(out, p)
	}
	return out
}

// bulk works out the bulk rate, or says why it cannot.
func (p *Planned) bulk(l *Lot) {
	if !l.Tagged {
		p.Why = message.Of("no-bulk.tag")
		return
	}
	live, err := l.Tag.Live()
	if err != nil {
		p.Why = because(err)
		return
	}
	if p.Seeds > 0 {
		size, why := seedSize(l)
		if !why.IsZero() {
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
		p.Why = because(err)
	}
}

// because is an error of the rate engine.
func because(err error) message.Message { return message.Of("no-bulk", message.Text(err.Error())) }

// seedSize is the lot's own count, or the built-in table's for its species.
func seedSize(l *Lot) (rate.SeedSize, message.Message) {
	if l.SeedsPerKg > 0 {
		kg := units.Mass(1_000_000)
		size, err := rate.SeedSample(units.Count(l.SeedsPerKg*1000), kg)
		if err != nil {
			return 0, because(err)
		}
		return size, message.Message{}
	}
	sp, err := rate.FindSpecies(l.Species)
	if err != nil {
		return 0, because(err)
	}
	c, ok := sp.SeedCount()
	if !ok {
		return 0, message.Of("no-bulk.seed-count", message.Text(l.Species))
	}
	return c.Size, message.Message{}
}

// sow adds what went out of a box to the pieces of ground.
func (s *Views) sow(v *View, t *thing.Thing, f *work.Flow) {
	for i := range v.Grounds {
		g := &v.Grounds[i]
		for _, p := range f.Sown {
			if p.Ground == g.ID {
				g.add(p, t.ID)
			}
		}
		for j := range g.Sown {
			sown := &g.Sown[j]
			if sown.Box != t.ID {
				continue
			}
			if r, err := sown.Mass.Over(g.Done); err == nil && g.Done > 0 && !g.Open && sown.Unknown == 0 {
				sown.Rate = r
			}
			for _, pl := range g.Plan {
				if pl.Lot == sown.Lot && pl.Box == t.ID {
					sown.Aim = pl.Bulk
				}
			}
		}
		slices.SortStableFunc(g.Sown, func(a, b Sown) int { return cmp.Or(a.Box.Compare(b.Box), a.Lot.Compare(b.Lot)) })
	}
}

func (g *Ground) add(p work.Portion, boxID entry.ID) {
	i := slices.IndexFunc(g.Sown, func(s Sown) bool { return s.Lot == p.Lot && s.Box == boxID })
	if i < 0 {
		i = len(g.Sown)
		g.Sown = append(g.Sown, Sown{Lot: p.Lot, Box: boxID})
	}
	s := &g.Sown[i]
	s.Mass += p.Mass
	s.Area += p.Area
	s.Std += p.Std
	if p.Unknown {
		s.Unknown += p.Area
	}
}
