package farm

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// View is the state as people read it. It is made once for each state and is
// good for ever.
func (s *State) View() *View {
	if s.view == nil {
		s.view = s.makeView()
	}
	return s.view
}

func (s *State) makeView() *View {
	v := &View{Farm: s.id, Entries: len(s.order) + s.waiting, Waiting: s.waiting, names: map[entry.ID]string{}}
	if s.founded != nil {
		b := s.founded.body.(*entry.FarmFounded)
		v.Name, v.TimeZone, v.Metric, v.MoneySign = b.Name, b.TimeZone, b.Metric, b.MoneySign
	}
	s.crewView(v)
	for _, t := range s.sorted(drill) {
		v.Drills = append(v.Drills, s.drillView(t))
	}
	for _, t := range s.sorted(lot) {
		v.Lots = append(v.Lots, s.lotView(t))
	}
	flows := map[entry.ID]*flow{}
	for _, t := range s.sorted(box) {
		flows[t.id] = s.flow(t)
	}
	for _, t := range s.sorted(ground) {
		v.Grounds = append(v.Grounds, s.groundView(t, v))
	}
	for _, t := range s.sorted(box) {
		v.Boxes = append(v.Boxes, s.boxView(t, flows[t.id], v))
		s.sow(v, t, flows[t.id])
	}
	for _, r := range s.checks.all() {
		b := r.eff.(*entry.ChecksSet)
		v.Checks = append(v.Checks, Checklist{r.id(), b.Version, b.Items})
	}
	v.Doubts = s.doubts(flows)
	return v
}

// sorted is the things of a kind that have a maker, in the total order of
// their making.
func (s *State) sorted(k thingKind) []*thing {
	ts := make([]*thing, 0, len(s.byKind[k]))
	for _, t := range s.byKind[k] {
		if t.made != nil && t.text(nameField(k)) != "" {
			ts = append(ts, t)
		}
	}
	slices.SortFunc(ts, func(a, b *thing) int { return a.made.compare(b.made) })
	return ts
}

func nameField(k thingKind) int {
	if k == box {
		return boxName
	}
	return groundName // the same number for all others
}

func (s *State) crewView(v *View) {
	for k := range thingKind(len(thingNames)) {
		for _, t := range s.sorted(k) {
			v.names[t.id] = t.text(nameField(k))
		}
	}
	for _, t := range s.sorted(person) {
		role, _ := t.num(memberRole)
		_, stopped := t.num(memberStop)
		v.Crew = append(v.Crew, Member{t.id, t.text(memberName), entry.Role(role), stopped})
	}
	ds := slices.Clone(s.devices)
	slices.SortFunc(ds, func(a, b *device) int { return a.id.Compare(b.id) })
	for _, d := range ds {
		if dv, ok := s.Device(d.id); ok {
			v.Devices = append(v.Devices, dv)
		}
	}
}

// Device is a device that the record names, whether its place stands or not.
func (s *State) Device(id entry.DeviceID) (Device, bool) {
	d, ok := s.index[id]
	if !ok || len(d.recs) == 0 || d.key == (entry.Key{}) {
		return Device{}, false
	}
	out := Device{ID: d.id, Name: d.name, Key: d.key, Joined: d.joined, Entries: uint64(len(d.recs))}
	out.Stopped = d.limit != math.MaxUint64
	if d.person != nil {
		out.Person, out.Role = d.person.id, d.person.roleNow()
	}
	return out, true
}

// Invite is an offer of a place, as the record names it.
type Invite struct {
	ID      entry.ID
	Person  entry.ID
	Key     entry.Key
	Expires int64          // ms since 1970
	Used    entry.DeviceID // zero where nobody took it up
}

// Invite finds an invite that counts by its public key.
func (s *State) Invite(key entry.Key) (Invite, bool) {
	for _, r := range s.order {
		b, ok := r.body.(*entry.Invited)
		if !ok || b.Key != key || r.left != counts {
			continue
		}
		inv := Invite{ID: r.id(), Person: b.Person, Key: b.Key, Expires: b.Expires}
		for _, t := range s.takers(r) {
			if t.dev.joined {
				inv.Used = t.dev.id
			}
		}
		return inv, true
	}
	return Invite{}, false
}

// drillFacts is what is set of a drill.
func (s *State) drillFacts(t *thing) Drill {
	num := func(n int) int64 { v, _ := t.num(n); return v }
	d := Drill{
		ID: t.id, Name: t.text(drillName), Rows: num(drillRows), Spacing: units.Length(num(drillSpacing)),
		Width: units.Length(num(drillWidth)), Roll: units.Length(num(drillRoll)),
		WheelTurns: units.Turns(num(drillWheelTurns)), Counter: entry.CounterKind(num(drillCounter)),
		CounterTurns: units.Turns(num(drillCounterTurns)),
	}
	if d.Width == 0 && d.Rows > 0 && d.Spacing > 0 {
		if w, err := rate.Width(int(d.Rows), d.Spacing); err == nil {
			d.Width = w
		}
	}
	s.wheel(&d)
	return d
}

// wheel works out a roll from turns to the acre, or the other way round.
func (s *State) wheel(d *Drill) {
	if d.Width == 0 {
		return
	}
	if d.WheelTurns == 0 && d.Roll > 0 {
		if n, err := rate.TurnsPerAcre(d.Roll, d.Width); err == nil {
			d.WheelTurns = n
		}
	}
	if d.Roll == 0 && d.WheelTurns > 0 {
		// roll = acre ÷ (turns × width): 1 cm² is 1e8 µm², and turns are thousandths.
		const acre1000 = 40_468_564_224 // an acre in cm², times 1,000
		if perWidth, err := units.MulDiv(acre1000, 1e8, int64(d.Width)); err == nil {
			if roll, err := units.MulDiv(perWidth, 1, int64(d.WheelTurns)); err == nil {
				d.Roll = units.Length(roll)
			}
		}
	}
}

func (s *State) drillView(t *thing) Drill {
	d := s.drillFacts(t)
	h := s.hitchOf(t.id, nil)
	d.Hitch = h.state()
	if h.moved != nil {
		d.State = h.moved.eff.(*entry.DrillMoved).State
	}
	pts, _ := s.timeline(t)
	for _, p := range pts {
		b := p.rec.eff.(*entry.MeterRead)
		d.Readings = append(d.Readings, Reading{p.rec.id(), b.Reading, b.Ground, p.total})
	}
	if n := len(d.Readings); n > 0 {
		d.Reading = &d.Readings[n-1]
	}
	return d
}

func (s *State) lotView(t *thing) Lot {
	share := func(n int) units.Share { v, _ := t.num(n); return units.Share(v) }
	num := func(n int) int64 { v, _ := t.num(n); return v }
	l := Lot{
		ID: t.id, Name: t.text(lotName), Species: t.text(lotSpecies), Variety: t.text(lotVariety),
		Tag:       rate.Tag{Purity: share(lotPurity), Germination: share(lotGermination), Hard: share(lotHard), Coating: share(lotCoating)},
		OtherCrop: share(lotOtherCrop), WeedSeed: share(lotWeedSeed), Inert: share(lotInert),
		Tested: num(lotTested), Bag: units.Mass(num(lotBag)), Price: units.Money(num(lotPrice)),
		Inoculant: t.text(lotInoculant), Endophyte: t.text(lotEndophyte), SeedsPerKg: num(lotSeedsPerKg),
	}
	l.Tagged = l.Tag.Purity > 0 && l.Tag.Germination+l.Tag.Hard > 0
	for _, r := range t.events.all() {
		l.Events = append(l.Events, r.id())
		switch b := r.eff.(type) {
		case *entry.BagsIn:
			l.BagsIn += b.Bags
		case *entry.BagsOut:
			l.BagsOut += b.Bags
		}
	}
	for _, bt := range s.byKind[box] {
		for _, r := range bt.events.all() {
			if b, ok := r.eff.(*entry.Filled); ok && b.Lot == t.id {
				l.Filled += s.filledMass(b)
			}
		}
	}
	return l
}

func (s *State) groundView(t *thing, v *View) Ground {
	num := func(n int) int64 { x, _ := t.num(n); return x }
	g := Ground{
		ID: t.id, Name: t.text(groundName), Area: units.Area(num(groundArea)), State: t.text(groundState),
		Notes: t.text(groundNotes), Spray: t.text(groundSpray), Boundary: t.text(groundRings),
		Depth: units.Length(num(planDepth)), Nurse: t.text(planNurse),
	}
	var slope int64
	slope, g.SlopeSet = t.num(groundSlope)
	g.Slope = units.Share(slope)
	g.Plan = s.planned(t, v)
	for _, r := range t.events.all() {
		g.Stands = append(g.Stands, r.id())
	}
	for _, d := range s.byKind[drill] {
		pts, _ := s.timeline(d)
		for _, p := range pts {
			if p.ground == t.id {
				g.Done += s.area(d, p.total-p.from)
				g.Events = append(g.Events, p.rec.id())
			}
		}
	}
	return g
}

// planned is the components of a plan, with the bulk rate of each by its
// lot's tag.
func (s *State) planned(t *thing, v *View) []Planned {
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

func sidesOf(t *thing) (names []string, fed []int64) {
	if txt := t.text(boxSides); txt != "" {
		names = strings.Split(txt, "\x00")
	}
	if txt := t.text(boxRowsFed); txt != "" {
		for _, p := range strings.Split(txt, ",") {
			n, _ := strconv.ParseInt(p, 10, 64)
			fed = append(fed, n)
		}
	}
	return names, fed
}

func (s *State) boxView(t *thing, f *flow, v *View) Box {
	num := func(n int) int64 { x, _ := t.num(n); return x }
	b := Box{
		ID: t.id, Drill: f.drill.id, Name: t.text(boxName), Meter: t.text(boxMeter),
		DialFrom: units.Dial(num(boxDialFrom)), DialTo: units.Dial(num(boxDialTo)),
		Capacity: units.Volume(num(boxCapacity)), OwnDials: num(boxOwnDials) != 0,
	}
	b.Sides, b.RowsFed = sidesOf(t)
	for i := range t.fields {
		fr := &t.fields[i]
		_, val, ok := fr.shown()
		switch {
		case ok && fr.num == fieldChart && val.n > 0:
			b.Chart = append(b.Chart, ChartPoint{fr.s, units.Dial(fr.n), units.RatePerArea(val.n)})
		case ok && fr.num == fieldDial && fr.n != 0:
			b.SideDials = append(b.SideDials, SideDial{fr.n, units.Dial(val.n)})
		}
	}
	b.Dial, b.DialSet = f.dial.dial, f.dial.set
	if x, ok := t.get(field{num: fieldDial}); ok {
		b.Dial, b.DialSet = units.Dial(x.n), true
	}
	for _, r := range t.events.all() {
		b.Events = append(b.Events, r.id())
	}
	b.seed(f)
	b.rateNow(f, v)
	return b
}

// seed fills in what is in the box.
func (b *Box) seed(f *flow) {
	for _, c := range f.sides {
		for _, l := range c.layers {
			b.Seed = append(b.Seed, Seed{l.lot, c.side, l.mass})
			b.Left += l.mass
		}
	}
	b.LeftStd = f.doubtOfLeft()
}

// doubtOfLeft is the standard uncertainty of what is left: each rate's share
// of what it let out since the contents were last known. One rate is one
// doubt, so its stretches add up straight.
func (f *flow) doubtOfLeft() units.Mass {
	var sum float64
	for _, p := range f.sown[f.anchor:] {
		sum += float64(p.rel * float64(p.mass))
	}
	return units.Mass(math.Round(sum))
}

// rateNow fills in the rate in force, the aim, and how far the seed goes.
func (b *Box) rateNow(f *flow, v *View) {
	b.Aim = aimOf(v, b.ID, b.Drill)
	lot := entry.ID{}
	if len(b.Seed) > 0 {
		lot = b.Seed[0].Lot
	} else if n := len(f.sown); n > 0 {
		lot = f.sown[n-1].lot
	}
	if lot.IsZero() {
		lot = plannedLot(v, b.ID)
	}
	known := f.rate(lot, dialAt{b.Dial, b.DialSet, true})
	if !known.ok {
		return
	}
	b.Rate, b.Basis = &known.est, known.basis
	if b.Left > 0 {
		b.AcresLeft = f.acresLeft(known.est)
	}
}

// z10 is the standard normal's 90th percentile (NIST/SEMATECH e-Handbook,
// table of the normal distribution).
const z10 = 1.2816

// acresLeft is the area until the first compartment runs dry.
func (f *flow) acresLeft(est rate.RateEstimate) *Spread {
	var out *Spread
	for _, c := range f.sides {
		m := c.mass()
		if m == 0 && len(f.sides) > 1 && c.share == 0 {
			continue
		}
		sp := f.columnLeft(c, m, est)
		if out == nil || sp.P50 < out.P50 {
			out = sp
		}
	}
	return out
}

// columnLeft is the area until one compartment runs dry. What was let out and
// what will be let out go by the same rate, so they are in doubt together:
// left over rate = (poured in over rate) − area worked.
func (f *flow) columnLeft(c *column, m units.Mass, est rate.RateEstimate) *Spread {
	perArea := float64(est.Rate) / 1e7 * float64(c.share) / float64(c.of) // mg for each cm²
	if perArea <= 0 {
		return &Spread{}
	}
	var out units.Mass
	for _, p := range f.sown[f.anchor:] {
		if p.side == c.side {
			out += p.mass
		}
	}
	at := func(k float64) units.Area {
		a := float64(m+out)/float64(perArea*k) - float64(out)/perArea
		return units.Area(math.Round(max(a, 0)))
	}
	spread := float64(z10 * est.Relative)
	return &Spread{P10: at(1 + spread), P50: at(1), P90: at(max(1-spread, 0.05))}
}

// aimOf is the bulk rate that the plan puts through a box: on the ground of
// the drill's latest reading, or on the only ground that the box is planned
// for.
func aimOf(v *View, boxID, drillID entry.ID) units.RatePerArea {
	var working entry.ID
	if d, ok := v.DrillOf(drillID); ok && d.Reading != nil {
		working = d.Reading.Ground
	}
	var sums []units.RatePerArea
	for _, g := range v.Grounds {
		sum, any := planSum(&g, boxID)
		if any && g.ID == working {
			return sum
		}
		if any {
			sums = append(sums, sum)
		}
	}
	if len(sums) == 1 || len(sums) > 1 && slices.Min(sums) == slices.Max(sums) {
		return sums[0]
	}
	return 0
}

func planSum(g *Ground, boxID entry.ID) (sum units.RatePerArea, any bool) {
	for _, p := range g.Plan {
		if p.Box == boxID && p.Bulk > 0 {
			sum, any = sum+p.Bulk, true
		}
	}
	return sum, any
}

func plannedLot(v *View, boxID entry.ID) entry.ID {
	for _, g := range v.Grounds {
		for _, p := range g.Plan {
			if p.Box == boxID {
				return p.Lot
			}
		}
	}
	return entry.ID{}
}

// sow adds what went out of a box to the pieces of ground.
func (s *State) sow(v *View, t *thing, f *flow) {
	for i := range v.Grounds {
		g := &v.Grounds[i]
		for _, p := range f.sown {
			if p.ground == g.ID {
				g.add(p, t.id)
			}
		}
		for j := range g.Sown {
			sown := &g.Sown[j]
			if sown.Box != t.id || g.Done <= 0 {
				continue
			}
			if r, err := sown.Mass.Over(g.Done); err == nil {
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
	for i := range g.Sown {
		if g.Sown[i].Lot == p.lot && g.Sown[i].Box == boxID {
			g.Sown[i].Mass += p.mass
			g.Sown[i].Area += p.area
			return
		}
	}
	g.Sown = append(g.Sown, Sown{Lot: p.lot, Box: boxID, Mass: p.mass, Area: p.area})
}
