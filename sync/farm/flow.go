package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// flow follows the seed through one box along the counter: poured in, metered
// out at the rate in force over each stretch, let out, and seen. Seed of an
// older fill lies below that of a newer one and goes out first (common
// practice, no source).
type flow struct {
	s      *State
	box    *thing
	drill  *thing
	sides  []*column
	dial   dialAt
	rates  map[rateKey]rateKnown
	sown   []portion // since the beginning
	anchor int       // first of sown since the box's contents were last known
	dry    bool      // a stretch was worked with nothing left
}

// column is one compartment: layers of seed, bottom first.
type column struct {
	side   int64
	share  int64 // of the rows it feeds
	of     int64 // of the whole
	layers []layer
}

type layer struct {
	lot  entry.ID
	mass units.Mass
}

// portion is seed of one lot that went out over one stretch.
type portion struct {
	lot    entry.ID
	side   int64
	ground entry.ID
	mass   units.Mass
	area   units.Area
	rated  bool // a rate was known; else the mass is what a level showed
	rel    float64
}

type rateKey struct {
	lot  entry.ID
	dial units.Dial
}

type rateKnown struct {
	est   rate.RateEstimate
	basis string
	ok    bool
}

// dialAt is the dial as the flow goes along.
type dialAt struct {
	dial  units.Dial
	set   bool
	moved bool // by a move; a catch says it only where nobody moved the dial
}

// step is one thing that happens along the counter.
type step struct {
	at    units.Reading
	order int    // at one place: what ended there, then what was done
	event *rec   // or
	work  *point // a stretch worked, up to at
}

func (s *State) flow(t *thing) *flow {
	f := &flow{s: s, box: t, rates: map[rateKey]rateKnown{}}
	f.drill = s.drillFor(t)
	f.makeSides()
	for _, st := range f.steps() {
		if st.work != nil {
			f.work(st.work)
		} else {
			f.event(st.event)
		}
	}
	return f
}

// drillFor is the drill of a box; it may be one of which nothing is set.
func (s *State) drillFor(b *thing) *thing {
	v, ok := b.get(field{num: boxDrill})
	if !ok {
		return s.emptyThing(drill)
	}
	id, err := entry.ParseID(v.s)
	if err != nil {
		return s.emptyThing(drill)
	}
	return s.thing(id, drill)
}

func (s *State) emptyThing(k thingKind) *thing { return &thing{kind: k} }

func (f *flow) makeSides() {
	names, fed := sidesOf(f.box)
	if len(names) == 0 {
		f.sides = []*column{{share: 1, of: 1}}
		return
	}
	var whole int64
	for i := range names {
		share := int64(1)
		if len(fed) == len(names) {
			share = fed[i]
		}
		whole += share
		f.sides = append(f.sides, &column{side: int64(i + 1), share: share})
	}
	for _, c := range f.sides {
		c.of = max(whole, 1)
	}
}

// steps puts stretches and events in the order of the counter.
func (f *flow) steps() []step {
	events := f.box.events.all()
	at := placed(events, f.drill.events.all())
	pts, _ := f.s.timeline(f.drill)
	steps := make([]step, 0, len(events)+len(pts))
	for i := range pts {
		steps = append(steps, step{at: pts[i].total, work: &pts[i]})
	}
	first := units.Reading(0)
	if len(pts) > 0 {
		first = pts[0].from
	}
	for _, e := range events {
		w := at[e]
		if !w.known {
			w.total = first
		}
		steps = append(steps, step{at: w.total, order: 1, event: e})
	}
	slices.SortStableFunc(steps, func(a, b step) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.order, b.order)) })
	return f.cut(steps)
}

// cut splits a stretch where an event happens within it.
func (f *flow) cut(steps []step) []step {
	out := make([]step, 0, len(steps))
	from := units.Reading(0)
	for i, st := range steps {
		if st.event == nil {
			from = st.at
			out = append(out, st)
			continue
		}
		if next := nextWork(steps[i:]); next != nil && next.from < st.at && max(from, next.from) < st.at {
			part := *next
			part.total, next.from = st.at, st.at
			out = append(out, step{at: st.at, work: &part})
			from = st.at
		}
		out = append(out, st)
	}
	return out
}

func nextWork(steps []step) *point {
	for i := range steps {
		if steps[i].work != nil {
			return steps[i].work
		}
	}
	return nil
}

func (f *flow) event(r *rec) {
	switch b := r.eff.(type) {
	case *entry.Filled:
		f.pour(b)
	case *entry.Drained:
		f.drain(b)
	case *entry.LevelRead:
		f.level(b)
	case *entry.DialMoved:
		f.dial = dialAt{b.To, true, true}
	case *entry.Caught:
		if !f.dial.moved {
			f.dial = dialAt{b.Dial, true, false}
		}
	}
}

// at is the columns that a side stands for: 0 for all.
func (f *flow) at(side int64) []*column {
	for _, c := range f.sides {
		if c.side == side && side != 0 {
			return []*column{c}
		}
	}
	return f.sides
}

func (f *flow) pour(b *entry.Filled) {
	m := f.s.filledMass(b)
	cols := f.at(b.Side)
	for i, part := range split(m, cols) {
		cols[i].add(b.Lot, part)
	}
}

// filledMass is the mass of a fill: as weighed, or bags of the lot's bag mass.
func (s *State) filledMass(b *entry.Filled) units.Mass {
	if b.Mass > 0 {
		return b.Mass
	}
	l, ok := s.things[b.Lot]
	if !ok {
		return 0
	}
	bag, _ := l.num(lotBag)
	m, err := units.Mass(bag).Times(b.Bags)
	if err != nil {
		return 0
	}
	return m
}

// split shares a mass among columns by the rows they feed; what does not
// divide goes to the last.
func split(m units.Mass, cols []*column) []units.Mass {
	var whole int64
	for _, c := range cols {
		whole += c.share
	}
	parts := make([]units.Mass, len(cols))
	left := m
	for i, c := range cols {
		p, err := units.MulDiv(int64(m), c.share, max(whole, 1))
		if err != nil || i == len(cols)-1 {
			p = int64(left)
		}
		parts[i] = units.Mass(p)
		left -= parts[i]
	}
	return parts
}

func (c *column) add(l entry.ID, m units.Mass) {
	if m <= 0 {
		return
	}
	if n := len(c.layers); n > 0 && c.layers[n-1].lot == l {
		c.layers[n-1].mass += m
		return
	}
	c.layers = append(c.layers, layer{l, m})
}

func (c *column) mass() units.Mass {
	var m units.Mass
	for _, l := range c.layers {
		m += l.mass
	}
	return m
}

// remove takes mass out from the bottom and gives what came of each lot.
func (c *column) remove(m units.Mass) []layer {
	var out []layer
	for m > 0 && len(c.layers) > 0 {
		l := &c.layers[0]
		take := min(m, l.mass)
		out = append(out, layer{l.lot, take})
		l.mass -= take
		m -= take
		if l.mass == 0 {
			c.layers = c.layers[1:]
		}
	}
	return out
}

func (f *flow) drain(b *entry.Drained) {
	cols := f.at(b.Side)
	if b.All && b.Mass > 0 {
		f.known(cols, split(b.Mass, cols))
	}
	for i, part := range split(b.Mass, cols) {
		if b.All {
			part = cols[i].mass()
		}
		cols[i].remove(part)
	}
	if b.All {
		f.anchor = len(f.sown)
	}
}

func (f *flow) level(b *entry.LevelRead) {
	cols := f.at(b.Side)
	m := b.Mass.Val
	if b.Share.Set {
		full, ok := f.full(cols)
		if !ok {
			return
		}
		m, _ = b.Share.Val.OfMass(full)
	}
	f.known(cols, split(m, cols))
}

// full is what columns hold when full of the seed that is in them: capacity
// times bushel weight is not known here, so the most that was ever seen to be
// in them stands in; it is not known where the box was never filled.
func (f *flow) full(cols []*column) (units.Mass, bool) {
	var m units.Mass
	for _, r := range f.box.events.all() {
		if b, ok := r.eff.(*entry.Filled); ok {
			m = max(m, f.s.filledMass(b))
		}
	}
	return m, m > 0 && len(cols) == len(f.sides)
}

// known sets what is in columns to what was seen, and puts the difference down
// to what went out since the contents were last known.
func (f *flow) known(cols []*column, masses []units.Mass) {
	for i, c := range cols {
		diff := c.mass() - masses[i]
		switch {
		case diff > 0:
			f.credit(c, c.remove(diff))
		case diff < 0 && len(c.layers) > 0:
			f.credit(c, []layer{{c.layers[len(c.layers)-1].lot, diff}})
			c.layers[len(c.layers)-1].mass -= diff
		}
	}
	f.anchor = len(f.sown)
}

// credit puts a correction down to the portions since the anchor, by mass.
func (f *flow) credit(c *column, ls []layer) {
	for _, l := range ls {
		var whole units.Mass
		var last *portion
		for i := f.anchor; i < len(f.sown); i++ {
			if p := &f.sown[i]; p.lot == l.lot && p.side == c.side {
				whole += p.mass
				last = p
			}
		}
		left := l.mass
		for i := f.anchor; i < len(f.sown) && whole > 0; i++ {
			if p := &f.sown[i]; p.lot == l.lot && p.side == c.side && p != last {
				part, err := units.MulDiv(int64(l.mass), int64(p.mass), int64(whole))
				if err == nil {
					p.mass += units.Mass(part)
					left -= units.Mass(part)
				}
			}
		}
		if last != nil {
			last.mass = max(0, last.mass+left)
		}
	}
}

// work meters seed out over a stretch.
func (f *flow) work(p *point) {
	area := f.s.area(f.drill, p.total-p.from)
	for _, c := range f.sides {
		f.workColumn(c, p.ground, area)
	}
}

func (f *flow) workColumn(c *column, ground entry.ID, area units.Area) {
	for area > 0 {
		if len(c.layers) == 0 {
			f.dry = f.dry || len(f.sown) > 0
			return
		}
		lot := c.layers[0].lot
		known := f.rate(lot, f.dial)
		if !known.ok {
			f.sown = append(f.sown, portion{lot: lot, side: c.side, ground: ground, area: area})
			return
		}
		want := meteredOver(known.est.Rate, area, c)
		got := min(want, c.layers[0].mass)
		over := area
		if got < want {
			over = portionOf(area, got, want)
		}
		c.remove(got)
		f.sown = append(f.sown, portion{lot, c.side, ground, got, over, true, known.est.Relative})
		area -= over
		if got == want {
			return
		}
	}
}

// meteredOver is rate × area × the column's share of the rows, in mg from
// µg/m² and cm²: one m² is 10,000 cm², one mg 1,000 µg.
func meteredOver(r units.RatePerArea, a units.Area, c *column) units.Mass {
	m, err := units.MulDiv(int64(r), int64(a), 10_000*1_000)
	if err == nil {
		m, err = units.MulDiv(m, c.share, c.of)
	}
	if err != nil {
		return 0
	}
	return units.Mass(m)
}

func portionOf(a units.Area, got, want units.Mass) units.Area {
	p, err := units.MulDiv(int64(a), int64(got), int64(want))
	if err != nil {
		return a
	}
	return min(units.Area(max(p, 1)), a)
}

// rate is the rate in force for a lot at the dial.
func (f *flow) rate(l entry.ID, d dialAt) rateKnown {
	if !d.set {
		return rateKnown{}
	}
	key := rateKey{l, d.dial}
	if known, ok := f.rates[key]; ok {
		return known
	}
	known := f.s.rateOf(f.box, f.drill, l, d.dial)
	f.rates[key] = known
	return known
}
