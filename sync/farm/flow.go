package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// flow follows the seed through one box along the counter: poured in, metered
// out at the rate in force over each stretch, let out, and seen. The rate
// engine keeps the books of what is in it.
type flow struct {
	s     *workSt
	box   *thing
	drill *thing
	seed  rate.Seed
	lots  map[string]entry.ID // the books know lots by name
	names map[uint32]string   // of the farm's lots, as deeds number them, that are in the books
	count int                 // of the books' events
	dials []dialAt            // of each side
	rates map[rateKey]rateKnown
	fits  map[entry.ID]caughtWays // the box's curves, by lot
	sown  []portion               // since the beginning
	// anchors is, for each side, the first of sown since its contents were
	// last known.
	anchors []int
	// reads are the level readings behind the books' balances, by event.
	reads map[int]*rec
	sums  map[*rec]string // what a level reading that is off comes to, in words
	short []*rec          // drains of more than the books had there
	// unproved is what seed went out on without a catch behind it.
	unproved []proof
	poured   units.Mass // in all
	taken    []Taken
	run      weighedRun
	outs     []weighedOut // what the runs that were closed by weighing came to, end to end joined
	last     *weighedOut  // the last of these runs alone
	before   *weighedOut  // what came before it, end to end; nil where nothing did
	species  speciesNames
	mixing   []bool // of each side: what is poured onto what it holds is mixed with it
	// ontoOther is the fills of a species that was not there yet onto another.
	ontoOther []*rec
	onLevel   bool // what ended the last run is what the content rests on
	doubles   []twins
	moments   []Moment // kept where track is set
	track     bool
	content   content
}

// portion is seed of one lot that went out over one stretch.
type portion struct {
	lot      entry.ID
	side     int
	ground   entry.ID
	mass     units.Mass
	area     units.Area
	reading  entry.ID // that ended the stretch
	from, to units.Reading
	dial     units.Dial
	known    rateKnown
	doubt    units.Mass
	set      bool // somebody wrote the dial
	checked  bool // the counter was corrected by a finished piece before that stretch
	unknown  bool // no rate was known, and nothing weighed has told since what went out
}

// proof is a lot and dial that seed went out on without a catch behind them.
type proof struct {
	lot  entry.ID
	dial units.Dial
	set  bool // somebody wrote the dial
}

type rateKey struct {
	lot  entry.ID
	dial units.Dial
}

type rateKnown struct {
	est    rate.RateEstimate // as people are told: the crank's until a run was weighed
	field  rate.Field
	basis  string
	ok     bool
	caught bool // some catch is behind it
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
	event *deed  // or
	work  *point // a stretch worked, up to at
}

// followed follows a box's seed, which changes nothing of the state but what it
// finds of this box's events. What was weighed out of it on the way tells what
// it gives from there on; what went out before was put right by the weighing.
func (s *workSt) followed(t, drill *thing, track bool) *flow {
	doubles := s.doubleEntries(t)
	f := s.follow(t, drill, track)
	f.doubles = doubles
	return f
}

func (s *workSt) follow(t, drill *thing, track bool) *flow {
	f := &flow{
		s: s, box: t, drill: drill, seed: emptyBox(t), track: track,
		rates: map[rateKey]rateKnown{}, lots: map[string]entry.ID{}, names: map[uint32]string{}, reads: map[int]*rec{},
		species: speciesNames{},
	}
	f.anchors = make([]int, len(f.seed.Sides))
	f.dials = make([]dialAt, len(f.seed.Sides))
	f.mixing = make([]bool, len(f.seed.Sides))
	if n := len(f.seed.Sides); n > 1 {
		f.content.sides = make([]bounds, n)
	}
	f.run = newRun(rate.Weighed{})
	if len(f.seed.Sides) == 1 { // a fill is a layer at most
		f.seed.Sides[0].Layers = make([]rate.Layer, 0, len(t.deeds.all()))
	}
	for _, st := range f.steps() {
		if st.work != nil {
			f.work(st.work)
		} else {
			f.event(st.event)
		}
		f.note(st)
	}
	f.unproved = slices.DeleteFunc(f.unproved, func(p proof) bool { return f.proves(p.lot, p.dial) })
	return f
}

// emptyBox is the books of a box with nothing in it, by its compartments and
// the rows that they feed: alike where nobody said.
func emptyBox(t *thing) rate.Seed {
	names, fed := sidesOf(t)
	rows := make([]int, max(1, len(names)))
	for i := range rows {
		rows[i] = 1
		if len(fed) == len(names) && len(names) > 0 && fed[i] > 0 {
			rows[i] = int(fed[i])
		}
	}
	seed, err := rate.EmptyBox(rows)
	if err != nil {
		seed, _ = rate.EmptyBox([]int{1})
	}
	return seed
}

// drillFor is the drill of a box; it may be one of which nothing is set.
func (s *workSt) drillFor(b *thing) *thing {
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

func (s *workSt) emptyThing(k thingKind) *thing { return &thing{kind: k} }

// steps puts stretches and events in the order of the counter; what ended at
// one place comes before what was done there.
func (f *flow) steps() []step {
	events := f.box.deeds.all()
	l := f.s.counterOf(f.drill)
	pts := slices.Clone(l.points) // a stretch is cut, by each box in other places
	steps := make([]step, 0, len(events)+len(pts))
	for i := range pts {
		steps = append(steps, step{at: pts[i].total, work: &pts[i]})
	}
	first := units.Reading(0)
	if len(pts) > 0 {
		first = pts[0].from
	}
	along := placing{moves: l.moves}
	for _, d := range events {
		at, known := along.place(d)
		if !known {
			at = first
		}
		steps = append(steps, step{at: at, event: d})
	}
	if !slices.IsSortedFunc(steps, step.compare) {
		slices.SortStableFunc(steps, step.compare)
	}
	return f.cut(steps)
}

func (a step) compare(b step) int {
	if c := cmp.Compare(a.at, b.at); c != 0 || (a.work == nil) == (b.work == nil) {
		return c
	}
	if a.work != nil {
		return -1
	}
	return 1
}

// cut splits a stretch where an event happens within it.
func (f *flow) cut(steps []step) []step {
	if !slices.ContainsFunc(steps, func(st step) bool { return st.work != nil }) {
		return steps
	}
	out := make([]step, 0, len(steps))
	next := 0 // the first step, from here on, that is a stretch
	for i, st := range steps {
		if st.event == nil {
			out = append(out, st)
			continue
		}
		for next = max(next, i); next < len(steps) && steps[next].work == nil; {
			next++
		}
		if next < len(steps) && steps[next].work.from < st.at {
			rest := steps[next].work
			part := *rest
			part.total, rest.from = st.at, st.at
			out = append(out, step{at: st.at, work: &part})
		}
		out = append(out, st)
	}
	return out
}

func (f *flow) event(d *deed) {
	if d.fills() {
		f.fill(d)
		return
	}
	switch b := d.rec.eff.(type) {
	case *entry.Drained:
		f.drain(d, b)
	case *entry.LevelRead:
		f.level(d.rec, b)
	case *entry.DialMoved:
		f.setDial(b.Side, dialAt{b.To, true, true})
	case *entry.Caught:
		f.setDial(b.Side, dialAt{b.Dial, true, false})
	}
}

func (f *flow) fill(d *deed) {
	m := f.s.weighs(d)
	doubt := f.s.doubtOf(d, m)
	f.watchFill(d, m)
	f.poured += m
	f.run.pour(f.s.lotOf(d), rate.Weighed{Mass: m, Doubt: doubt})
	f.run.clean = f.run.clean && !f.openDouble(d)
	side := f.side(int64(d.side))
	f.keep(rate.BoxEvent{Kind: rate.Poured, Side: side, Lot: f.lotName(d.lot), Blend: m > 0 && f.mixes(d, side), Mass: m, Doubt: doubt})
}

// openDouble says whether a fill seems to be written twice, and nobody has yet
// said whether it was.
func (f *flow) openDouble(d *deed) bool { return d.double && !f.s.covered(DoubleEntry, d.rec) }

// setDial sets a side's dial, or all sides'. A catch says what a dial was at
// only where nobody has moved it.
func (f *flow) setDial(side int64, d dialAt) {
	n := f.side(side)
	for i := range f.dials {
		if (n == i || n == rate.AllSides) && (d.moved || !f.dials[i].moved) {
			f.dials[i] = d
		}
	}
}

// How far off, as one part in so many, a person's figures are taken to be (one
// standard uncertainty): our own assumptions, no source.
const (
	fillDoubt  = 200 // a bag's mass, or a weighed fill
	drainDoubt = 100 // seed weighed out
	levelDoubt = 100 // a level given as a mass: scales of trade are within 0.3 % (NIST Handbook 44, 2.20, class III)
	shareDoubt = 20  // a level seen as a share of full: of the full box
)

func (f *flow) keep(e rate.BoxEvent) int {
	n := f.count
	f.count++
	if err := f.seed.Keep(n, e); err != nil {
		return n // out of the books' range: the entry itself is kept and shown
	}
	return n
}

// side is a compartment as the books number them.
func (f *flow) side(n int64) int {
	if n < 1 || n > int64(len(f.seed.Sides)) {
		return rate.AllSides
	}
	return int(n - 1)
}

// lotName is what the books call a lot.
func (f *flow) lotName(n uint32) string {
	name, ok := f.names[n]
	if !ok {
		id := f.s.byKind[lot][n-1].id
		name = id.String()
		f.lots[name], f.names[n] = id, name
	}
	return name
}

func (f *flow) drain(d *deed, b *entry.Drained) {
	r, side := d.rec, f.side(b.Side)
	w := rate.Weighed{Mass: b.Mass, Doubt: b.Mass / drainDoubt}
	asked := f.watchDrain(d, b)
	if !asked.tooMuch && !b.All {
		f.watchTaken(r, side, b, w)
	}
	if b.All && b.Mass > 0 && !asked.tooLittle && (!asked.tooMuch || f.s.covered(OverDrained, r)) {
		f.seen(r, rate.BoxEvent{Kind: rate.LevelRead, Side: side, Mass: w.Mass, Doubt: w.Doubt, Weighed: true})
	}
	before := f.held()
	if b.All {
		f.keep(rate.BoxEvent{Kind: rate.Emptied, Side: side})
		f.anchor(side)
		f.run = newRun(rate.Weighed{})
		f.run.clean = f.whole(side)
		f.onLevel = false
	} else {
		f.run.stretch.Drained = f.run.stretch.Drained.Plus(w)
		f.keep(rate.BoxEvent{Kind: rate.TakenOut, Side: side, Mass: w.Mass, Doubt: w.Doubt})
	}
	after := f.held()
	for _, h := range before {
		if m := h.mass - after.of(h); m > 0 {
			f.taken = append(f.taken, Taken{r.id(), f.lots[h.lot], f.sideNumber(h.side), m, b.Mass > 0 && !asked.tooLittle})
		}
	}
	f.tookMore(r, b, before)
}

// tookMore adds what was weighed out beyond what the books had there: it was
// in the box, whatever they say, and is of the lot that was. The books cannot
// place it.
func (f *flow) tookMore(r *rec, b *entry.Drained, before holdings) {
	more, last := b.Mass, -1
	for i := range f.taken {
		if f.taken[i].Entry == r.id() {
			more, last = more-f.taken[i].Mass, i
		}
	}
	switch {
	case more <= 0:
	case last >= 0:
		f.taken[last].Mass += more
	default:
		t := Taken{Entry: r.id(), Side: b.Side, Mass: more, Weighed: true}
		if len(before) > 0 {
			t.Lot = f.lots[before[len(before)-1].lot]
		}
		f.taken = append(f.taken, t)
	}
}

// anchor marks that a side's contents, or all sides', are known here.
func (f *flow) anchor(side int) {
	for i := range f.anchors {
		if side == i || side == rate.AllSides {
			f.anchors[i] = len(f.sown)
		}
	}
}

// wentFrom is what went out of a side since its anchor.
func (f *flow) wentFrom(side int) units.Mass {
	var m units.Mass
	for _, p := range f.sown[f.anchors[side]:] {
		if p.side == side {
			m += p.mass
		}
	}
	return m
}

// sideNumber is a compartment as people number them: from 1, or 0 for the only
// one.
func (f *flow) sideNumber(i int) int64 {
	if len(f.seed.Sides) == 1 {
		return 0
	}
	return int64(i + 1)
}

func (f *flow) level(r *rec, b *entry.LevelRead) {
	e := rate.BoxEvent{Kind: rate.LevelRead, Side: f.side(b.Side), Mass: b.Mass.Val, Doubt: b.Mass.Val / levelDoubt, Weighed: true}
	if b.Share.Set {
		full, ok := f.full(e.Side)
		if !ok {
			f.content.open = true // what is in it is not known
			return
		}
		m, err := b.Share.Val.OfMass(full)
		if err != nil {
			return
		}
		e.Mass, e.Doubt, e.Weighed = m, full/shareDoubt, false
	}
	if f.watchLevel(r, b, e.Mass, e.Doubt) {
		f.seen(r, e)
	}
}

// seen takes in what somebody saw in the box: it corrects the books, and
// measures what went out since the contents were last known.
func (f *flow) seen(r *rec, e rate.BoxEvent) {
	w := f.run
	n := f.known(e)
	f.onLevel = false
	f.reads[n] = r
	off := false
	for _, b := range f.seed.Balances {
		off = off || b.Event == n && b.Off
	}
	if off {
		f.judge(r, &w, e)
	}
	f.closeRun(w, e.Side, rate.Weighed{Mass: e.Mass, Doubt: e.Doubt})
}

// full is what a box, or its side, holds when full of the seed that is in it:
// its capacity at the published bushel weight of the species. It is not known
// where either is not.
func (f *flow) full(side int) (units.Mass, bool) {
	m, ok := f.fullOfSpecies(f.s.speciesOf(f.bottom(max(side, 0))))
	if !ok || side < 0 {
		return m, ok
	}
	m, err := f.part(side, m)
	return m, err == nil
}

// fullOfSpecies is what all of a box holds when full of a species.
func (f *flow) fullOfSpecies(species string) (units.Mass, bool) {
	capacity, ok := f.box.num(boxCapacity)
	if !ok {
		return 0, false
	}
	weight, ok := bushelWeight(species)
	if !ok {
		return 0, false
	}
	m, err := units.MulDiv(capacity, int64(weight), bushel)
	return units.Mass(m), err == nil
}

// part is a side's share, by the rows that it feeds, of what all of the box
// holds or gives.
func (f *flow) part(side int, m units.Mass) (units.Mass, error) {
	n, err := units.MulDiv(int64(m), int64(f.seed.Sides[side].Rows), f.rows())
	return units.Mass(n), err
}

// bushel is a US bushel in ml, to the nearest.
const bushel = 35_239

func bushelWeight(species string) (units.Mass, bool) {
	sp, err := rate.FindSpecies(species)
	if err != nil {
		return 0, false
	}
	w, err := sp.BushelWeight("")
	return w.Mass, err == nil
}

func (f *flow) rows() int64 {
	var n int64
	for _, s := range f.seed.Sides {
		n += int64(s.Rows)
	}
	return n
}

// bottom is the lot that goes out of a side next; zero where it is empty.
func (f *flow) bottom(side int) entry.ID {
	if ls := f.seed.Sides[side].Layers; len(ls) > 0 {
		return f.lots[ls[0].Lot]
	}
	return entry.ID{}
}

// known takes in what somebody saw, and puts the difference down to what went
// out since the contents were last known.
func (f *flow) known(e rate.BoxEvent) int {
	before := f.held()
	n := f.keep(e)
	after := f.held()
	for _, h := range before {
		f.credit(h, h.mass-after.of(h))
	}
	for _, h := range after {
		if before.of(h) == 0 {
			f.credit(h, -h.mass)
		}
	}
	f.close(e)
	f.anchor(e.Side)
	return n
}

// close gives the portions since the anchor the doubt of what went out as it
// was weighed, in, out and left, in place of their rates'. What went from one
// side alone is as doubtful as what is left in it.
func (f *flow) close(e rate.BoxEvent) {
	side := e.Side
	run := f.run.stretch
	all := run.Start.Plus(run.Poured).Plus(run.Drained).Plus(rate.Weighed{Doubt: e.Doubt})
	var total units.Mass
	for i := range f.seed.Sides {
		total += f.wentFrom(i)
	}
	for i := range f.seed.Sides {
		if side != i && side != rate.AllSides {
			continue
		}
		whole := f.wentFrom(i)
		for j := f.anchors[i]; j < len(f.sown) && whole > 0; j++ {
			if p := &f.sown[j]; p.side == i {
				doubt, of := f.seed.Sides[i].Doubt(), whole
				if f.whole(side) {
					doubt, of = all.Doubt, total
				}
				if part, err := units.MulDiv(int64(doubt), int64(p.mass), int64(of)); err == nil {
					p.doubt = units.Mass(part)
				}
			}
		}
	}
}

// holding is seed of one lot in one side.
type holding struct {
	lot  string
	side int
	mass units.Mass
}

type holdings []holding

func (hs holdings) of(x holding) units.Mass {
	for _, h := range hs {
		if h.lot == x.lot && h.side == x.side {
			return h.mass
		}
	}
	return 0
}

func (f *flow) held() holdings {
	var hs holdings
	for i, s := range f.seed.Sides {
		for _, l := range s.Layers {
			hs = append(hs, holding{l.Lot, i, l.Mass})
		}
	}
	return hs
}

// credit puts a correction down to the portions of a lot since the anchor, in
// proportion to their mass; the last takes what does not divide.
func (f *flow) credit(h holding, more units.Mass) {
	lot := f.lots[h.lot]
	var mine []*portion
	var whole units.Mass
	for i := f.anchors[h.side]; i < len(f.sown); i++ {
		if p := &f.sown[i]; p.lot == lot && p.side == h.side {
			p.unknown = false
			mine = append(mine, p)
			whole += p.mass
		}
	}
	left := more
	for i, p := range mine {
		part := left
		if i < len(mine)-1 && whole > 0 {
			if n, err := units.MulDiv(int64(more), int64(p.mass), int64(whole)); err == nil {
				part = units.Mass(n)
			}
		}
		left -= part
		p.mass = max(0, p.mass+part)
	}
}

// work meters seed out over a stretch, side by side.
func (f *flow) work(p *point) {
	area := f.s.worked(f.drill, p)
	f.workRun(area)
	before, known := f.inBox(), true
	for i := range f.seed.Sides {
		had := f.seed.Sides[i].Mass()
		sure := f.workSide(i, p, area)
		if i < len(f.content.sides) {
			f.content.sides[i].wentBy(had-f.seed.Sides[i].Mass(), sure)
		}
		known = known && sure
	}
	f.watchWork(before, f.inBox(), known)
	f.watchDry(p, area)
}

// inBox is what is in all of the box, by the books.
func (f *flow) inBox() (m units.Mass) {
	for i := range f.seed.Sides {
		m += f.seed.Sides[i].Mass()
	}
	return m
}

// workSide meters one side's lots out, bottom first, each at its own rate, or
// what lies mixed at the rate of the blend. It says whether that is known.
func (f *flow) workSide(side int, p *point, area units.Area) (known bool) {
	for area > 0 {
		if f.bottom(side).IsZero() {
			f.content.dryNow = max(f.content.dryNow, area)
			return true
		}
		known := f.proveBottom(side)
		if !known.ok {
			for _, l := range f.seed.Sides[side].Bottom() {
				f.sow(portion{lot: f.lots[l.Lot], side: side, area: area, unknown: true}, p)
				area = 0 // one stretch is one area, whatever lots it took
			}
			return false
		}
		over := f.until(side, known, area)
		f.sowSide(side, p, over, known)
		area -= over
	}
	return true
}

// proveBottom is the rate in force of what lies at the bottom of a side; what no
// catch backs of it is kept as unproved.
func (f *flow) proveBottom(side int) rateKnown {
	d := f.dials[side]
	for _, l := range f.seed.Sides[side].Bottom() {
		if lot := f.lots[l.Lot]; !f.rate(lot, d).caught {
			f.prove(proof{lot, d.dial, d.set})
		}
	}
	return f.bottomRate(side, d)
}

func (f *flow) prove(p proof) {
	if !slices.Contains(f.unproved, p) {
		f.unproved = append(f.unproved, p)
	}
}

// until is the part of an area that what is at the bottom of a side lasts for, at
// least 1 cm² so that work goes on.
func (f *flow) until(side int, known rateKnown, area units.Area) units.Area {
	want, err := known.field.Counter.Rate.On(area)
	if err == nil {
		want, err = f.part(side, want)
	}
	var have units.Mass
	for _, l := range f.seed.Sides[side].Bottom() {
		have += l.Mass
	}
	if err != nil || want <= have {
		return area
	}
	over, err := units.MulDiv(int64(area), int64(have), int64(want))
	if err != nil {
		return area
	}
	return min(units.Area(over)+1, area)
}

// sow adds a portion of a stretch.
func (f *flow) sow(x portion, p *point) {
	x.ground, x.reading, x.from, x.to, x.dial = p.ground, p.rec.id(), p.from, p.total, f.dials[x.side].dial
	x.set, x.checked = f.dials[x.side].set, p.times != 0
	f.sown = append(f.sown, x)
}

func (f *flow) sowSide(side int, p *point, area units.Area, known rateKnown) {
	m := known.field.Metering(f.onLevel)
	doubt, err := known.field.Counter.Doubt()
	if err != nil {
		doubt = units.Whole
	}
	gone := len(f.seed.Gone)
	f.keep(rate.BoxEvent{Kind: rate.Sown, Side: side, Area: area, Rate: m.Rate, RateSpread: m.Spread(), RateLevel: m.Level})
	for _, g := range f.seed.Gone[gone:] {
		part, err := doubt.OfMass(g.Mass)
		if err != nil {
			part = g.Mass
		}
		f.sow(portion{lot: f.lots[g.Lot], side: side, mass: g.Mass, area: area, known: known, doubt: part}, p)
		area = 0 // one stretch is one area, whatever lots it took
	}
	f.seed.Gone = f.seed.Gone[:gone]
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
	known := f.field(l, d.dial)
	f.rates[key] = known
	return known
}
