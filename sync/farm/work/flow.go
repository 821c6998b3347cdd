package work

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/fact"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Flow follows the seed through one box along the counter: poured in, metered
// out at the rate in force over each stretch, let out, and seen. The rate
// engine keeps the books of what is in it.
type Flow struct {
	Work  *Work
	Box   *thing.Thing
	Drill *thing.Thing
	Seed  rate.Seed
	Lots  map[string]entry.ID // the books know lots by name
	names map[uint32]string   // of the farm's lots, as deeds number them, that are in the books
	count int                 // of the books' events
	Dials []DialAt            // of each side
	rates map[rateKey]RateKnown
	fits  map[entry.ID]caughtWays // the box's curves, by lot
	Sown  []Portion               // since the beginning
	// anchors is, for each side, the first of Sown since its contents were
	// last known.
	anchors []int
	// reads are the level readings behind the books' balances, by event.
	reads map[int]*order.Rec
	sums  map[*order.Rec]message.Message // what a level reading that is off comes to
	short []*order.Rec                   // drains of more than the books had there
	// unproved is what seed went out on without a catch behind it.
	unproved []proof
	Poured   units.Mass // in all
	Drained  []Drained
	run      weighedRun
	Outs     []weighedOut // what the runs that were closed by weighing came to, end to end joined
	Last     *weighedOut  // the last of these runs alone
	Before   *weighedOut  // what came before it, end to end; nil where nothing did
	Species  SpeciesNames
	mixing   []bool // of each side: what is poured onto what it holds is mixed with it
	// OntoOther is the fills of a species that was not there yet onto another.
	OntoOther []*order.Rec
	OnLevel   bool // what ended the last run is what the content rests on
	Doubles   []fact.Twins
	Moments   []Moment // kept where track is set
	track     bool
	Content   content
}

// Portion is seed of one lot that went out over one stretch.
type Portion struct {
	Lot      entry.ID
	Side     int
	Ground   entry.ID
	Mass     units.Mass
	Area     units.Area
	Reading  entry.ID // that ended the stretch
	From, To units.Reading
	Dial     units.Dial
	Known    RateKnown
	Std      units.Mass
	Set      bool // somebody wrote the dial
	Checked  bool // the counter was corrected by a finished piece before that stretch
	Unknown  bool // no rate was known, and nothing weighed has told since what went out
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

// RateKnown is what is known of a rate, and by what.
type RateKnown struct {
	Est    rate.RateEstimate // as people are told: the crank's until a run was weighed
	Field  rate.Field
	Basis  rate.Basis
	Ok     bool
	Caught bool // some catch is behind it
}

// DialAt is the dial as the flow goes along.
type DialAt struct {
	Dial  units.Dial
	Set   bool
	Moved bool // by a move; a catch says it only where nobody moved the dial
}

// step is one thing that happens along the counter.
type step struct {
	at    units.Reading
	event *thing.Deed // or
	work  *Point      // a stretch worked, up to at
}

// Followed follows a box's seed, which changes nothing of the state but what it
// finds of this box's events. What was weighed out of it on the way tells what
// it gives from there on; what went out before was put right by the weighing.
func (s *Work) Followed(t, drill *thing.Thing, track bool) *Flow {
	doubles := s.doubleEntries(t)
	f := s.follow(t, drill, track)
	f.Doubles = doubles
	return f
}

func (s *Work) follow(t, drill *thing.Thing, track bool) *Flow {
	f := &Flow{
		Work: s, Box: t, Drill: drill, Seed: emptyBox(t), track: track,
		rates: map[rateKey]RateKnown{}, Lots: map[string]entry.ID{}, names: map[uint32]string{}, reads: map[int]*order.Rec{},
		Species: SpeciesNames{},
	}
	f.anchors = make([]int, len(f.Seed.Sides))
	f.Dials = make([]DialAt, len(f.Seed.Sides))
	f.mixing = make([]bool, len(f.Seed.Sides))
	if n := len(f.Seed.Sides); n > 1 {
		f.Content.sides = make([]bounds, n)
	}
	f.run = newRun(rate.Weighed{})
	if len(f.Seed.Sides) == 1 { // a fill is a layer at most
		f.Seed.Sides[0].Layers = make([]rate.Layer, 0, len(t.Deeds.All()))
	}
	for _, st := range f.steps() {
		if st.work != nil {
			f.work(st.work)
		} else {
			f.event(st.event)
		}
		f.note(st)
	}
	f.unproved = slices.DeleteFunc(f.unproved, func(p proof) bool { return f.Proves(p.lot, p.dial) })
	return f
}

// emptyBox is the books of a box with nothing in it, by its compartments and
// the rows that they feed: alike where nobody said.
func emptyBox(t *thing.Thing) rate.Seed {
	names, fed := SidesOf(t)
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

// DrillFor is the drill of a box; it may be one of which nothing is set.
func (s *Work) DrillFor(b *thing.Thing) *thing.Thing {
	v, ok := b.Get(thing.Field{Num: thing.BoxDrill})
	if !ok {
		return s.emptyThing(thing.Drill)
	}
	id, err := entry.ParseID(v.S)
	if err != nil {
		return s.emptyThing(thing.Drill)
	}
	return s.Thing(id, thing.Drill)
}

func (s *Work) emptyThing(k thing.ThingKind) *thing.Thing { return &thing.Thing{Kind: k} }

// steps puts stretches and events in the order of the counter; what ended at
// one place comes before what was done there.
func (f *Flow) steps() []step {
	events := f.Box.Deeds.All()
	l := f.Work.CounterOf(f.Drill)
	pts := slices.Clone(l.Points) // a stretch is cut, by each box in other places
	steps := make([]step, 0, len(events)+len(pts))
	for i := range pts {
		steps = append(steps, step{at: pts[i].Total, work: &pts[i]})
	}
	first := units.Reading(0)
	if len(pts) > 0 {
		first = pts[0].From
	}
	along := placing{moves: l.Moves}
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
func (f *Flow) cut(steps []step) []step {
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
		if next < len(steps) && steps[next].work.From < st.at {
			rest := steps[next].work
			part := *rest
			part.Total, rest.From = st.at, st.at
			out = append(out, step{at: st.at, work: &part})
		}
		out = append(out, st)
	}
	return out
}

func (f *Flow) event(d *thing.Deed) {
	if d.Fills() {
		f.fill(d)
		return
	}
	switch b := d.Rec.Eff.(type) {
	case *entry.Drained:
		f.drain(d, b)
	case *entry.LevelRead:
		f.level(d.Rec, b)
	case *entry.DialMoved:
		f.setDial(b.Side, DialAt{b.To, true, true})
	case *entry.Caught:
		f.setDial(b.Side, DialAt{b.Dial, true, false})
	}
}

func (f *Flow) fill(d *thing.Deed) {
	m := f.Work.Weighs(d)
	std := f.Work.stdOf(d, m)
	f.watchFill(d, m)
	f.Poured += m
	f.run.pour(f.Work.LotOf(d), rate.Weighed{Mass: m, Std: std})
	f.run.clean = f.run.clean && !f.OpenDouble(d)
	side := f.Side(int64(d.Side))
	f.keep(rate.BoxEvent{Kind: rate.Poured, Side: side, Lot: f.lotName(d.Lot), Blend: m > 0 && f.mixes(d, side), Mass: m, Std: std})
}

// OpenDouble says whether a fill seems to be written twice, and nobody has yet
// said whether it was.
func (f *Flow) OpenDouble(d *thing.Deed) bool {
	return d.Double && !f.Work.Covered(conflict.DoubleEntry, d.Rec)
}

// setDial sets a side's dial, or all sides'. A catch says what a dial was at
// only where nobody has moved it.
func (f *Flow) setDial(side int64, d DialAt) {
	n := f.Side(side)
	for i := range f.Dials {
		if (n == i || n == rate.AllSides) && (d.Moved || !f.Dials[i].Moved) {
			f.Dials[i] = d
		}
	}
}

// How far off, as one part in so many, a person's figures are taken to be (one
// standard uncertainty): our own assumptions, no source.
const (
	FillStd  = 200 // a bag's mass, or a weighed fill
	drainStd = 100 // seed weighed out
	levelStd = 100 // a level given as a mass: scales of trade are within 0.3 % (NIST Handbook 44, 2.20, class III)
	shareStd = 20  // a level seen as a share of full: of the full box
)

func (f *Flow) keep(e rate.BoxEvent) int {
	n := f.count
	f.count++
	if err := f.Seed.Keep(n, e); err != nil {
		return n // out of the books' range: the entry itself is kept and shown
	}
	return n
}

// Side is a compartment as the books number them.
func (f *Flow) Side(n int64) int {
	if n < 1 || n > int64(len(f.Seed.Sides)) {
		return rate.AllSides
	}
	return int(n - 1)
}

// lotName is what the books call a lot.
func (f *Flow) lotName(n uint32) string {
	name, ok := f.names[n]
	if !ok {
		id := f.Work.ByKind[thing.Lot][n-1].ID
		name = id.String()
		f.Lots[name], f.names[n] = id, name
	}
	return name
}

func (f *Flow) drain(d *thing.Deed, b *entry.Drained) {
	r, side := d.Rec, f.Side(b.Side)
	w := rate.Weighed{Mass: b.Mass, Std: b.Mass / drainStd}
	asked := f.watchDrain(d, b)
	if !asked.tooMuch && !b.All {
		f.watchTaken(r, side, b, w)
	}
	if b.All && b.Mass > 0 && !asked.tooLittle && (!asked.tooMuch || f.Work.Covered(conflict.OverDrained, r)) {
		f.seen(r, rate.BoxEvent{Kind: rate.LevelRead, Side: side, Mass: w.Mass, Std: w.Std, Weighed: true})
	}
	before := f.held()
	if b.All {
		f.keep(rate.BoxEvent{Kind: rate.Emptied, Side: side})
		f.anchor(side)
		f.run = newRun(rate.Weighed{})
		f.run.clean = f.whole(side)
		f.OnLevel = false
	} else {
		f.run.stretch.Drained = f.run.stretch.Drained.Plus(w)
		f.keep(rate.BoxEvent{Kind: rate.TakenOut, Side: side, Mass: w.Mass, Std: w.Std})
	}
	after := f.held()
	for _, h := range before {
		if m := h.mass - after.of(h); m > 0 {
			f.Drained = append(f.Drained, Drained{r.ID(), f.Lots[h.lot], f.SideNumber(h.side), m, b.Mass > 0 && !asked.tooLittle})
		}
	}
	f.tookMore(r, b, before)
}

// tookMore adds what was weighed out beyond what the books had there: it was
// in the box, whatever they say, and is of the lot that was. The books cannot
// place it.
func (f *Flow) tookMore(r *order.Rec, b *entry.Drained, before holdings) {
	more, last := b.Mass, -1
	for i := range f.Drained {
		if f.Drained[i].Entry == r.ID() {
			more, last = more-f.Drained[i].Mass, i
		}
	}
	switch {
	case more <= 0:
	case last >= 0:
		f.Drained[last].Mass += more
	default:
		t := Drained{Entry: r.ID(), Side: b.Side, Mass: more, Weighed: true}
		if len(before) > 0 {
			t.Lot = f.Lots[before[len(before)-1].lot]
		}
		f.Drained = append(f.Drained, t)
	}
}

// anchor marks that a side's contents, or all sides', are known here.
func (f *Flow) anchor(side int) {
	for i := range f.anchors {
		if side == i || side == rate.AllSides {
			f.anchors[i] = len(f.Sown)
		}
	}
}

// wentFrom is what went out of a side since its anchor.
func (f *Flow) wentFrom(side int) units.Mass {
	var m units.Mass
	for _, p := range f.Sown[f.anchors[side]:] {
		if p.Side == side {
			m += p.Mass
		}
	}
	return m
}

// SideNumber is a compartment as people number them: from 1, or 0 for the only
// one.
func (f *Flow) SideNumber(i int) int64 {
	if len(f.Seed.Sides) == 1 {
		return 0
	}
	return int64(i + 1)
}

func (f *Flow) level(r *order.Rec, b *entry.LevelRead) {
	e := rate.BoxEvent{Kind: rate.LevelRead, Side: f.Side(b.Side), Mass: b.Mass.Val, Std: b.Mass.Val / levelStd, Weighed: true}
	if b.Share.Set {
		full, ok := f.Full(e.Side)
		if !ok {
			f.Content.open = true // what is in it is not known
			return
		}
		m, err := b.Share.Val.OfMass(full)
		if err != nil {
			return
		}
		e.Mass, e.Std, e.Weighed = m, full/shareStd, false
	}
	if f.watchLevel(r, b, e.Mass, e.Std) {
		f.seen(r, e)
	}
}

// seen takes in what somebody saw in the box: it corrects the books, and
// measures what went out since the contents were last known.
func (f *Flow) seen(r *order.Rec, e rate.BoxEvent) {
	w := f.run
	n := f.known(e)
	f.OnLevel = false
	f.reads[n] = r
	off := false
	for _, b := range f.Seed.Balances {
		off = off || b.Event == n && b.Off
	}
	if off {
		f.judge(r, &w, e)
	}
	f.closeRun(w, e.Side, rate.Weighed{Mass: e.Mass, Std: e.Std})
}

// Full is what a box, or its side, holds when full of the seed that is in it:
// its capacity at the published bushel weight of the species. It is not known
// where either is not.
func (f *Flow) Full(side int) (units.Mass, bool) {
	m, ok := f.fullOfSpecies(f.Work.SpeciesOf(f.Bottom(max(side, 0))))
	if !ok || side < 0 {
		return m, ok
	}
	m, err := f.part(side, m)
	return m, err == nil
}

// fullOfSpecies is what all of a box holds when full of a species.
func (f *Flow) fullOfSpecies(species string) (units.Mass, bool) {
	capacity, ok := f.Box.Num(thing.BoxCapacity)
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
func (f *Flow) part(side int, m units.Mass) (units.Mass, error) {
	n, err := units.MulDiv(int64(m), int64(f.Seed.Sides[side].Rows), f.Rows())
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

// Rows is how many rows the box feeds.
func (f *Flow) Rows() int64 {
	var n int64
	for _, s := range f.Seed.Sides {
		n += int64(s.Rows)
	}
	return n
}

// Bottom is the lot that goes out of a side next; zero where it is empty.
func (f *Flow) Bottom(side int) entry.ID {
	if ls := f.Seed.Sides[side].Layers; len(ls) > 0 {
		return f.Lots[ls[0].Lot]
	}
	return entry.ID{}
}

// known takes in what somebody saw, and puts the difference down to what went
// out since the contents were last known.
func (f *Flow) known(e rate.BoxEvent) int {
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

// close gives the portions since the anchor the uncertainty of what went out as it
// was weighed, in, out and left, in place of their rates'. What went from one
// side alone is as uncertain as what is left in it.
func (f *Flow) close(e rate.BoxEvent) {
	side := e.Side
	run := f.run.stretch
	all := run.Start.Plus(run.Poured).Plus(run.Drained).Plus(rate.Weighed{Std: e.Std})
	var total units.Mass
	for i := range f.Seed.Sides {
		total += f.wentFrom(i)
	}
	for i := range f.Seed.Sides {
		if side != i && side != rate.AllSides {
			continue
		}
		whole := f.wentFrom(i)
		for j := f.anchors[i]; j < len(f.Sown) && whole > 0; j++ {
			if p := &f.Sown[j]; p.Side == i {
				std, of := f.Seed.Sides[i].Std(), whole
				if f.whole(side) {
					std, of = all.Std, total
				}
				if part, err := units.MulDiv(int64(std), int64(p.Mass), int64(of)); err == nil {
					p.Std = units.Mass(part)
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

func (f *Flow) held() holdings {
	var hs holdings
	for i, s := range f.Seed.Sides {
		for _, l := range s.Layers {
			hs = append(hs, holding{l.Lot, i, l.Mass})
		}
	}
	return hs
}

// credit puts a correction down to the portions of a lot since the anchor, in
// proportion to their mass; the last takes what does not divide.
func (f *Flow) credit(h holding, more units.Mass) {
	lot := f.Lots[h.lot]
	var mine []*Portion
	var whole units.Mass
	for i := f.anchors[h.side]; i < len(f.Sown); i++ {
		if p := &f.Sown[i]; p.Lot == lot && p.Side == h.side {
			p.Unknown = false
			mine = append(mine, p)
			whole += p.Mass
		}
	}
	left := more
	for i, p := range mine {
		part := left
		if i < len(mine)-1 && whole > 0 {
			if n, err := units.MulDiv(int64(more), int64(p.Mass), int64(whole)); err == nil {
				part = units.Mass(n)
			}
		}
		left -= part
		p.Mass = max(0, p.Mass+part)
	}
}

// work meters seed out over a stretch, side by side.
func (f *Flow) work(p *Point) {
	area := f.Work.Worked(f.Drill, p)
	f.workRun(area)
	before, known := f.inBox(), true
	for i := range f.Seed.Sides {
		had := f.Seed.Sides[i].Mass()
		sure := f.workSide(i, p, area)
		if i < len(f.Content.sides) {
			f.Content.sides[i].wentBy(had-f.Seed.Sides[i].Mass(), sure)
		}
		known = known && sure
	}
	f.watchWork(before, f.inBox(), known)
	f.watchDry(p, area)
}

// inBox is what is in all of the box, by the books.
func (f *Flow) inBox() (m units.Mass) {
	for i := range f.Seed.Sides {
		m += f.Seed.Sides[i].Mass()
	}
	return m
}

// workSide meters one side's lots out, bottom first, each at its own rate, or
// what lies mixed at the rate of the blend. It says whether that is known.
func (f *Flow) workSide(side int, p *Point, area units.Area) (known bool) {
	for area > 0 {
		if f.Bottom(side).IsZero() {
			f.Content.dryNow = max(f.Content.dryNow, area)
			return true
		}
		known := f.proveBottom(side)
		if !known.Ok {
			for _, l := range f.Seed.Sides[side].Bottom() {
				f.sow(Portion{Lot: f.Lots[l.Lot], Side: side, Area: area, Unknown: true}, p)
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
func (f *Flow) proveBottom(side int) RateKnown {
	d := f.Dials[side]
	for _, l := range f.Seed.Sides[side].Bottom() {
		if lot := f.Lots[l.Lot]; !f.Rate(lot, d).Caught {
			f.prove(proof{lot, d.Dial, d.Set})
		}
	}
	return f.BottomRate(side, d)
}

func (f *Flow) prove(p proof) {
	if !slices.Contains(f.unproved, p) {
		f.unproved = append(f.unproved, p)
	}
}

// until is the part of an area that what is at the bottom of a side lasts for, at
// least 1 cm² so that work goes on.
func (f *Flow) until(side int, known RateKnown, area units.Area) units.Area {
	want, err := known.Field.Counter.Rate.On(area)
	if err == nil {
		want, err = f.part(side, want)
	}
	var have units.Mass
	for _, l := range f.Seed.Sides[side].Bottom() {
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
func (f *Flow) sow(x Portion, p *Point) {
	x.Ground, x.Reading, x.From, x.To, x.Dial = p.Ground, p.Rec.ID(), p.From, p.Total, f.Dials[x.Side].Dial
	x.Set, x.Checked = f.Dials[x.Side].Set, p.Times != 0
	f.Sown = append(f.Sown, x)
}

func (f *Flow) sowSide(side int, p *Point, area units.Area, known RateKnown) {
	m := known.Field.Metering(f.OnLevel)
	std, err := known.Field.Counter.Std()
	if err != nil {
		std = units.Whole
	}
	gone := len(f.Seed.Gone)
	f.keep(rate.BoxEvent{Kind: rate.Sown, Side: side, Area: area, Rate: m.Rate, RateSpread: m.Spread(), RateLevel: m.Level})
	for _, g := range f.Seed.Gone[gone:] {
		part, err := std.OfMass(g.Mass)
		if err != nil {
			part = g.Mass
		}
		f.sow(Portion{Lot: f.Lots[g.Lot], Side: side, Mass: g.Mass, Area: area, Known: known, Std: part}, p)
		area = 0 // one stretch is one area, whatever lots it took
	}
	f.Seed.Gone = f.Seed.Gone[:gone]
}

// Rate is the rate in force for a lot at the dial.
func (f *Flow) Rate(l entry.ID, d DialAt) RateKnown {
	if !d.Set {
		return RateKnown{}
	}
	key := rateKey{l, d.Dial}
	if known, ok := f.rates[key]; ok {
		return known
	}
	known := f.field(l, d.Dial)
	f.rates[key] = known
	return known
}
