package farm_test

import (
	"bytes"
	"crypto/ed25519"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
	"turnrow/sync/message"
	"turnrow/sync/units"
	"turnrow/sync/wire"
)

// phone is a device with its own log and its own state of the farm.
type phone struct {
	t     *testing.T
	head  chain.Head
	priv  ed25519.PrivateKey
	state *farm.State
	all   map[entry.LogID][]entry.Entry
	late  hlc.Time
	wall  *int64   // one for all: their clocks agree
	by    entry.ID // who writes; zero is the phone's own person
}

func key(n byte) (entry.Key, ed25519.PrivateKey) {
	priv := ed25519.NewKeyFromSeed(slices.Repeat([]byte{n}, 32))
	return entry.Key(priv.Public().(ed25519.PublicKey)), priv
}

func deviceID(n byte) entry.DeviceID { return entry.DeviceID{0: 1, 6: 0x70, 8: 0x80, 15: n} }

func newPhone(t *testing.T, n byte, f entry.FarmID, wall *int64) *phone {
	pub, priv := key(n)
	return &phone{
		t: t, head: chain.Start(f, deviceID(n), pub), priv: priv, state: farm.New(f),
		all: map[entry.LogID][]entry.Entry{}, wall: wall,
	}
}

// write adds an entry to the phone's log.
func (p *phone) write(b entry.Body) entry.ID {
	p.t.Helper()
	var seen []entry.Mark
	for _, m := range p.state.Applied() {
		i := p.head.Peer(m.Log)
		if m.Log != p.head.Log && (i < 0 || p.head.Seen[i] < m.Seq) {
			seen = append(seen, m)
		}
	}
	return p.writeSeen(b, seen...)
}

// mark is how far a device's log is held.
func (p *phone) mark(d entry.DeviceID) entry.Mark {
	return p.markOf(entry.ID{Log: d.Log(), Seq: uint64(len(p.all[d.Log()]))})
}

func (p *phone) markOf(id entry.ID) entry.Mark { return p.all[id.Log][id.Seq-1].Mark() }

// writeSeen is write, with what the phone says that it has newly seen.
func (p *phone) writeSeen(b entry.Body, seen ...entry.Mark) entry.ID {
	p.t.Helper()
	*p.wall += 60_000
	clock := hlc.Next(p.late, *p.wall)
	back := p.head.Clone()
	raw, err := wire.Encode(&p.head, entry.Draft{Clock: clock, Wall: *p.wall, Person: p.by, Seen: seen, Body: b})
	if err != nil {
		p.t.Fatal(err)
	}
	e, err := wire.Decode(&back, raw)
	if err != nil {
		p.t.Fatal(err)
	}
	p.head.Advance(raw)
	p.late = clock
	p.take(e)
	return e.ID
}

func (p *phone) take(es ...entry.Entry) {
	for _, e := range es {
		if uint64(len(p.all[e.Log])) < e.Seq {
			p.all[e.Log] = append(p.all[e.Log], e)
			p.late = max(p.late, e.Clock)
		}
	}
	p.state.Apply(es...)
}

// meet brings two phones together.
func meet(a, b *phone) {
	for _, x := range [][2]*phone{{a, b}, {b, a}} {
		for _, d := range devices(x[0]) {
			x[1].take(x[0].all[d.Log()]...)
		}
	}
}

func devices(p *phone) []entry.DeviceID {
	var ds []entry.DeviceID
	for d := range p.all {
		ds = append(ds, d.Device())
	}
	slices.SortFunc(ds, entry.DeviceID.Compare)
	return ds
}

type crew struct {
	own, op, help            *phone
	drill, grain, oat, bench entry.ID
	checks                   entry.ID
}

func (c *crew) join(owner *phone, n byte, name string, role entry.Role) *phone {
	person := owner.write(&entry.MemberAdded{Name: name, Role: role})
	pub, priv := key(n + 100)
	owner.write(&entry.Invited{Person: person, Key: pub, Expires: *owner.wall + 1e8})
	p := newPhone(owner.t, n, owner.head.Farm, owner.wall)
	own, _ := key(n)
	p.writeSeen(&entry.DeviceEnrolled{Invite: pub, Key: own, Name: name + "'s phone",
		Proof: entry.Countersign(priv, owner.head.Farm, p.head.Log.Device(), own)})
	meet(owner, p)
	owner.admit(p, person, role)
	meet(owner, p)
	return p
}

// admit lets a phone in whose log is here.
func (p *phone) admit(o *phone, person entry.ID, role entry.Role) entry.ID {
	m := p.markOf(entry.ID{Log: o.head.Log, Seq: 1})
	return p.write(&entry.Admitted{Device: m.Log.Device(), Hash: m.Hash, Person: person, Role: role})
}

func setUp(t *testing.T) *crew {
	pub, _ := key(1)
	wall := int64(1_780_000_000_000)
	own := newPhone(t, 1, entry.FoundedBy(deviceID(1), pub, pub), &wall)
	own.write(&entry.FarmFounded{Name: "Quill Hollow", Owner: "Ada", Key: pub, DeviceName: "house", Paper: pub})
	c := &crew{own: own}
	c.drill = own.write(&entry.DrillSet{Name: entry.Some("the drill"), Rows: entry.Some(int64(10)),
		Spacing: entry.Some(units.Length(190_500)), Roll: entry.Some(units.Length(2_489_200)), Counter: entry.CountsAcres})
	c.grain = own.write(&entry.BoxSet{Drill: c.drill, Name: entry.Some("grain"),
		DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(100_000))})
	c.oat = own.write(&entry.LotSet{Name: entry.Some("O-1"), Species: entry.Some("oat"),
		Bag: entry.Some(units.Mass(22_679_618))})
	own.write(&entry.LabelSet{Lot: c.oat, Lines: []entry.LabelLine{
		{Species: "oat", Share: entry.Some(units.Share(98_000)), Germination: entry.Some(units.Share(90_000))}}})
	c.bench = own.write(&entry.GroundSet{Name: entry.Some("bench"), Area: entry.Some(units.Area(303_514_231))})
	for dial, lb := range map[int]float64{20: 18, 40: 41, 60: 66} {
		r, _ := units.RateFromLbPerAcre(lb)
		own.write(&entry.ChartPointSet{Box: c.grain, Species: "oat", Dial: units.Dial(dial * 1000), Rate: r})
	}
	c.checks = own.write(&entry.ChecksSet{Version: 1, Items: []entry.CheckItem{
		{Name: "engine off and key out", Required: true}, {Name: "hoses tied clear", Required: true}, {Name: "gloves in the cab"}}})
	c.op = c.join(own, 2, "Ben", entry.Operator)
	c.help = c.join(own, 3, "Cleo", entry.Helper)
	meet(own, c.op)
	return c
}

func (c *crew) merge() {
	for range 2 {
		meet(c.own, c.op)
		meet(c.op, c.help)
		meet(c.help, c.own)
	}
}

func (c *crew) hitch(p *phone) farm.Hitch {
	d, ok := p.state.View().DrillOf(c.drill)
	if !ok {
		p.t.Fatal("no drill")
	}
	return d.Hitch
}

func kinds(p *phone, settled bool) []farm.DoubtKind {
	var ks []farm.DoubtKind
	for d := range p.state.View().Doubts() {
		if d.Settled == settled {
			ks = append(ks, d.Kind)
		}
	}
	return ks
}

func TestTwoSettingsUntilTheDialIsRead(t *testing.T) {
	c := setUp(t)
	a := c.own.write(&entry.DialMoved{Box: c.grain, To: 40_000, Why: "plan"})
	b := c.op.write(&entry.DialMoved{Box: c.grain, To: 42_000, Why: "came out light"})
	c.merge()
	for _, p := range []*phone{c.own, c.op, c.help} {
		if got := kinds(p, false); !slices.Equal(got, []farm.DoubtKind{farm.TwoSettings}) {
			t.Fatalf("doubts %v", got)
		}
	}
	c.op.write(&entry.Settled{Doubt: string(farm.TwoSettings), Entries: []entry.ID{a, b}, Dial: entry.Some(units.Dial(42_000)), Why: "read it"})
	c.merge()
	for _, p := range []*phone{c.own, c.op, c.help} {
		if got := kinds(p, false); len(got) != 0 {
			t.Fatalf("open doubts %v", got)
		}
		if got := kinds(p, true); !slices.Equal(got, []farm.DoubtKind{farm.TwoSettings}) {
			t.Fatalf("settled doubts %v", got)
		}
		if box, _ := p.state.View().BoxNamed(entry.ID{}, "grain"); box.Dial != 42_000 {
			t.Fatalf("dial %d", box.Dial)
		}
	}
}

func TestAHoldWinsOverWhatDidNotKnowIt(t *testing.T) {
	c := setUp(t)
	h := c.op.write(&entry.HitchBegun{Checks: c.checks, Drill: c.drill, Tractor: "the old blue one"})
	c.merge()
	hold := c.help.write(&entry.HoldRaised{Drill: c.drill, Why: "a pin is missing"})
	c.op.write(&entry.ItemSigned{Hitch: h, Item: 1})
	c.op.write(&entry.ItemSigned{Hitch: h, Item: 2})
	if !c.hitch(c.op).Ready {
		t.Fatalf("the operator's phone knows no hold: %+v", c.hitch(c.op))
	}
	c.merge()
	for _, p := range []*phone{c.own, c.op, c.help} {
		if got := c.hitch(p); got.Ready || len(got.Holds) != 1 || got.Holds[0].Entry != hold {
			t.Fatalf("hitch %+v", got)
		}
	}
	c.help.write(&entry.HoldReleased{Drill: c.drill, Holds: []entry.ID{hold}, Why: "found it"}) // a helper may not
	c.merge()
	if c.hitch(c.own).Ready {
		t.Fatal("a helper released a hold")
	}
	c.op.write(&entry.HoldReleased{Drill: c.drill, Holds: []entry.ID{hold}, Why: "pin is in"})
	c.merge()
	for _, p := range []*phone{c.own, c.op, c.help} {
		if !c.hitch(p).Ready {
			t.Fatalf("hitch %+v", c.hitch(p))
		}
	}
	sig := c.own.write(&entry.ItemSigned{Hitch: h, Item: 1})
	c.op.write(&entry.Unhitched{Drill: c.drill})
	c.merge()
	if got := c.hitch(c.own); got.Ready || len(got.Signed) != 0 {
		t.Fatalf("signature %v counts after unhitching: %+v", sig, got)
	}
}

func TestSeedGoesWhereTheCounterSays(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.DialMoved{Box: c.grain, To: 40_000, Why: "plan"})
	c.help.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000}) // 4 bags of 50 lb
	c.merge()
	c.op.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
	c.op.write(&entry.MeterRead{Drill: c.drill, Reading: 2_000, Ground: c.bench})
	c.merge()
	v := c.own.state.View()
	g, _ := v.GroundNamed("bench")
	if a := g.Done.Acres(); a < 1.999 || a > 2.001 {
		t.Fatalf("acres done %v", a)
	}
	if len(g.Sown) != 1 || g.Sown[0].Lot != c.oat {
		t.Fatalf("sown %+v", g.Sown)
	}
	// The chart alone says 41 lb/ac at 40: 82 lb over 2 acres, 118 lb left of 200.
	if lb := g.Sown[0].Mass.Pounds(); lb < 81.99 || lb > 82.01 {
		t.Fatalf("sown %v lb", lb)
	}
	b, _ := v.BoxNamed(entry.ID{}, "grain")
	if lb := b.Left.Pounds(); lb < 117.9 || lb > 118.1 {
		t.Fatalf("left %v lb", lb)
	}
	if b.AcresLeft == nil || b.AcresLeft.P10 >= b.AcresLeft.P50 || b.AcresLeft.P50 >= b.AcresLeft.P90 {
		t.Fatalf("acres left %+v", b.AcresLeft)
	}
}

// What was weighed out of a box is a measurement like a catch: 200 lb in, 110
// lb left after 2 acres, is 45 lb/ac by a kitchen sum.
func TestWhatWasWeighedOutCorrectsTheRate(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.DialMoved{Box: c.grain, To: 40_000, Why: "plan"})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 2_000, Ground: c.bench})
	left, _ := units.MassFromPounds(110)
	c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(left)})
	b, _ := c.own.state.View().BoxNamed(entry.ID{}, "grain")
	if b.LastOut == nil || b.LastOut.Rate.LbPerAcre() < 44.9 || b.LastOut.Rate.LbPerAcre() > 45.1 {
		t.Fatalf("went out at %+v", b.LastOut)
	}
	if got := b.Rate.Rate.LbPerAcre(); got < 44 || got > 45.1 {
		t.Fatalf("the rate in force is %v lb/ac: the chart's 41, mended by 45 weighed", got)
	}
	if b.Drift == nil || b.Drift.Change < 0.09 || b.Drift.Change > 0.11 {
		t.Fatalf("drift %+v from the chart", b.Drift)
	}
	if b.Left != left {
		t.Errorf("%v was weighed, and %v is said to be in the box", left, b.Left)
	}
	g, _ := c.own.state.View().GroundNamed("bench")
	if lb := g.Sown[0].Mass.Pounds(); lb < 89 || lb > 91 || b.Gap != 0 {
		t.Fatalf("sown %v lb, gap %v", lb, b.Gap)
	}
	if len(c.own.state.Track(c.grain)) < 4 {
		t.Fatal("the box's track is short")
	}
}

// A level far from what a catch says, while a fill may have been written
// twice, is a doubt and no measurement of the rate.
func TestALevelInDoubtTeachesNothing(t *testing.T) {
	c := setUp(t)
	caught, _ := units.MassFromGrams(139)
	c.own.write(&entry.Caught{Box: c.grain, Lot: c.oat, Dial: 33_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{caught}, Resolution: 1000})
	c.own.write(&entry.DialMoved{Box: c.grain, To: 33_000})
	c.merge()
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
	c.op.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
	c.merge()
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 4_400, Ground: c.bench})
	before, _ := c.own.state.View().BoxNamed(entry.ID{}, "grain")
	left, _ := units.MassFromPounds(52)
	c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(left)})
	b, _ := c.own.state.View().BoxNamed(entry.ID{}, "grain")
	if b.Rate.Rate != before.Rate.Rate || !slices.Contains(kinds(c.own, false), farm.Balance) {
		t.Fatalf("rate %v, before %v; doubts %v", b.Rate.Rate, before.Rate.Rate, kinds(c.own, false))
	}
}

// A catch of 22.9 lb/ac, then two weighed levels that say 30: the figure goes
// there at once, and the doubt says what went out, how far over, and how far
// the seed lasts at that.
func TestWhatWasWeighedOverridesTheCatchAtOnce(t *testing.T) {
	c := setUp(t)
	caught, _ := units.MassFromGrams(96.3)
	c.own.write(&entry.Caught{Box: c.grain, Lot: c.oat, Dial: 33_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{caught}, Resolution: 1000})
	c.own.write(&entry.DialMoved{Box: c.grain, To: 33_000})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 4_000, Ground: c.bench})
	before, _ := c.own.state.View().BoxNamed(entry.ID{}, "grain")
	if before.Weighed || before.Field == nil || before.Field.Rate >= before.Rate.Rate || before.Field.Relative < 0.07 {
		t.Fatalf("before a run is weighed, the crank's %+v, in the field %+v", before.Rate, before.Field)
	}
	left, _ := units.MassFromPounds(80)
	c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(left)})
	b, _ := c.own.state.View().BoxNamed(entry.ID{}, "grain")
	if got := b.Rate.Rate.LbPerAcre(); got < 29.5 || got > 30.1 || !b.Weighed {
		t.Errorf("the rate is %v lb/ac, 30 was weighed", got)
	}
	if a := b.AcresLeft; a.P50.Acres() < 2.6 || a.P50.Acres() > 2.8 || a.P90-a.P10 < 800_000 {
		t.Errorf("dry in %+v, want about 2.7 acres, to no less than a tenth", a)
	}
	sums := 0
	for d := range c.own.state.View().Doubts() {
		if d.Kind != farm.Balance {
			continue
		}
		sums++
		if !lastsAbout(d.Why, 30, 31, 2.7) {
			t.Errorf("the doubt says %s", d.Why)
		}
	}
	if sums != 1 {
		t.Errorf("%d doubts of balance, want one: %v", sums, kinds(c.own, false))
	}
}

// lastsAbout says whether a balance tells that so many lb/ac went out, so many
// per cent over what the catch or chart says, and that at that rate it lasts about
// so many acres: each to a tenth.
func lastsAbout(why message.Message, lb float64, over int64, acres float64) bool {
	if why.ID != "balance.lasts" {
		return false
	}
	sum, area := why.Args[0].(message.Message), why.Args[1].(message.Quantity)
	went := sum.Args[0].(message.Quantity)
	near := func(got, want float64) bool { return math.Abs(got-want) < 0.05 }
	return sum.ID == "balance.over" && sum.Args[1] == message.Whole(over) &&
		went == message.Rate(units.RatePerArea(went.N)) && near(units.RatePerArea(went.N).LbPerAcre(), lb) &&
		area == message.AboutArea(units.Area(area.N)) && near(units.Area(area.N).Acres(), acres)
}

// Two runs at one dial, the second of which gives a quarter more: that is told
// as a drift of its own, and both together are what the rate rests on. A second
// run like the first is no drift.
func TestARunThatDepartsFromTheOneBeforeIt(t *testing.T) {
	second := func(lb float64) farm.Box {
		c := setUp(t)
		c.own.write(&entry.DialMoved{Box: c.grain, To: 40_000, Why: "plan"})
		c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
		c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
		weigh := func(reading units.Reading, lb float64) farm.Box {
			left, _ := units.MassFromPounds(lb)
			c.own.write(&entry.MeterRead{Drill: c.drill, Reading: reading, Ground: c.bench})
			c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(left)})
			b, _ := c.own.state.View().BoxNamed(entry.ID{}, "grain")
			return b
		}
		if b := weigh(2_000, 120); b.Moved != nil || b.LastOut == nil {
			t.Fatalf("after one run: moved %+v, last %+v", b.Moved, b.LastOut)
		}
		return weigh(4_000, lb)
	}
	b := second(20) // 40 lb/ac, then 50
	if b.Moved == nil || b.Moved.Change < 0.24 || b.Moved.Change > 0.26 || !b.Moved.Likely() {
		t.Fatalf("moved %+v", b.Moved)
	}
	if r := b.Rate.Rate.LbPerAcre(); r < 44 || r > 46 {
		t.Errorf("180 lb over 4 acres are 45 lb/ac, the rate is %v", r)
	}
	if b := second(40); b.Moved == nil || b.Moved.Likely() {
		t.Errorf("40 lb/ac after 40: %+v", b.Moved)
	}
}

// A counter that was held against a finished piece: its areas are corrected from
// there on, and the rate on the ground is known better.
func TestAFinishedPieceCorrectsTheCounter(t *testing.T) {
	after := func(bodies ...entry.Body) (farm.View, farm.Box) {
		c := setUp(t)
		caught, _ := units.MassFromGrams(96.3)
		c.own.write(&entry.Caught{Box: c.grain, Lot: c.oat, Dial: 33_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{caught}, Resolution: 1000})
		c.own.write(&entry.DialMoved{Box: c.grain, To: 33_000})
		c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
		c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
		c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 2_000, Ground: c.bench})
		for _, b := range bodies {
			if f, ok := b.(*entry.GroundFinished); ok {
				f.Ground, f.Drill = c.bench, c.drill
			}
			c.own.write(b)
		}
		c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 4_000, Ground: c.bench})
		left, _ := units.MassFromPounds(104)
		c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(left)})
		v := c.own.state.View()
		b, _ := v.BoxNamed(entry.ID{}, "grain")
		return *v, b
	}
	_, plain := after()
	v, b := after(&entry.GroundFinished{Reading: entry.Some(units.Reading(2_000)), Finished: true, Correction: entry.Some[int64](1050)})
	g, _ := v.GroundNamed("bench")
	if a := g.Done.Acres(); a < 4.099 || a > 4.101 || v.Drills[0].Correction != 1050 {
		t.Errorf("2 ac, and 2 ac at 1.05: %v; the drill says %d", a, v.Drills[0].Correction)
	}
	if b.Field.Relative > plain.Field.Relative/1.5 {
		t.Errorf("the rate on the ground is known to %g, unchecked to %g", b.Field.Relative, plain.Field.Relative)
	}
	v, _ = after(&entry.GroundFinished{Finished: true})
	if g, _ := v.GroundNamed("bench"); !g.Finished || g.Done.Acres() < 3.999 || g.Done.Acres() > 4.001 {
		t.Errorf("finished without a correction: %t, %v", g.Finished, g.Done)
	}
	v, _ = after(&entry.GroundFinished{Finished: true}, &entry.GroundFinished{})
	if g, _ := v.GroundNamed("bench"); g.Finished {
		t.Error("it is not finished after all")
	}
}

// A level that makes over three times the rate is a fill that nobody wrote down
// before it is a rate: it stands as a doubt, and teaches nothing until someone
// has looked.
func TestASlipsSizeTeachesNothing(t *testing.T) {
	c := setUp(t)
	caught, _ := units.MassFromGrams(96.3)
	c.own.write(&entry.Caught{Box: c.grain, Lot: c.oat, Dial: 33_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{caught}, Resolution: 1000})
	c.own.write(&entry.DialMoved{Box: c.grain, To: 33_000})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 2_000, Ground: c.bench})
	before, _ := c.own.state.View().BoxNamed(entry.ID{}, "grain")
	left, _ := units.MassFromPounds(30)
	seen := c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(left)})
	b, _ := c.own.state.View().BoxNamed(entry.ID{}, "grain")
	if b.Rate.Rate != before.Rate.Rate || !slices.Contains(kinds(c.own, false), farm.Balance) {
		t.Fatalf("rate %v, before %v; doubts %v", b.Rate.Rate, before.Rate.Rate, kinds(c.own, false))
	}
	c.own.write(&entry.Settled{Doubt: string(farm.Balance), Entries: []entry.ID{seen}, Why: "looked"})
	b, _ = c.own.state.View().BoxNamed(entry.ID{}, "grain")
	if got := b.Rate.Rate.LbPerAcre(); got < 80 {
		t.Errorf("someone looked, and 85 lb/ac did go out: %v", got)
	}
}

// Two people set up the same lot apart: one doubt, and once they say that it
// is one lot, what went by either name is one lot's seed.
func TestOneLotUnderTwoNamesIsJoined(t *testing.T) {
	c := setUp(t)
	lot := func(p *phone) entry.ID {
		return p.write(&entry.LotSet{Name: entry.Some("RC-7"), Species: entry.Some("oat"), Bag: entry.Some(units.Mass(20_000_000))})
	}
	a, b := lot(c.own), lot(c.op)
	c.own.write(&entry.Filled{Box: c.grain, Lot: a, Bags: 1_000})
	c.merge()
	c.op.write(&entry.Filled{Box: c.grain, Lot: b, Bags: 2_000})
	c.merge()
	if got := kinds(c.help, false); !slices.Contains(got, farm.SameName) {
		t.Fatalf("doubts %v", got)
	}
	c.own.write(&entry.Settled{Doubt: string(farm.SameName), Entries: []entry.ID{a, b}, Stands: []entry.ID{a}, Why: "one lot"})
	c.merge()
	for _, p := range []*phone{c.own, c.op, c.help} {
		v := p.state.View()
		box, _ := v.BoxNamed(entry.ID{}, "grain")
		if len(box.Seed) != 1 || box.Seed[0].Lot != a || box.Seed[0].Mass != 60_000_000 || slices.Contains(kinds(p, false), farm.SameName) {
			t.Fatalf("seed %+v, doubts %v", box.Seed, kinds(p, false))
		}
	}
	if c.own.state.Digest() != c.help.state.Digest() || reloaded(t, c.own.state).Digest() != c.own.state.Digest() {
		t.Fatal("digests differ")
	}
}

func TestDoubleEntryIsShownAndSettled(t *testing.T) {
	c := setUp(t)
	a := c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 2_000})
	b := c.help.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 2_000})
	c.merge()
	if got := kinds(c.op, false); !slices.Equal(got, []farm.DoubtKind{farm.DoubleEntry}) {
		t.Fatalf("doubts %v", got)
	}
	c.op.write(&entry.Settled{Doubt: string(farm.DoubleEntry), Entries: []entry.ID{a, b}, Stands: []entry.ID{a}, Why: "one fill"})
	c.merge()
	box, _ := c.help.state.View().BoxNamed(entry.ID{}, "grain")
	if lb := box.Left.Pounds(); len(kinds(c.help, false)) != 0 || lb < 99.9 || lb > 100.1 {
		t.Fatalf("open %v, left %v lb", kinds(c.help, false), lb)
	}
}

// The same entries give the same digest in whatever order devices' logs come.
func TestAnyOrderOfArrivalGivesOneState(t *testing.T) {
	c := setUp(t)
	r := rand.New(rand.NewPCG(5, 6))
	ps := []*phone{c.own, c.op, c.help}
	hitch := c.op.write(&entry.HitchBegun{Checks: c.checks, Drill: c.drill})
	c.merge()
	var ids []entry.ID
	for range 120 {
		p := ps[r.IntN(3)]
		var b entry.Body
		switch r.IntN(11) {
		case 0:
			b = &entry.DialMoved{Box: c.grain, To: units.Dial(r.IntN(100) * 1000)}
		case 1:
			b = &entry.MeterRead{Drill: c.drill, Reading: units.Reading(r.IntN(7000)), Ground: c.bench}
		case 2:
			b = &entry.ItemSigned{Hitch: hitch, Item: 1 + r.Int64N(3)}
		case 3:
			b = &entry.HoldRaised{Drill: c.drill}
		case 4:
			open := c.hitch(p).Holds
			if len(open) == 0 {
				continue
			}
			b = &entry.HoldReleased{Drill: c.drill, Holds: []entry.ID{open[0].Entry}, Why: "looked"}
		case 5:
			b = &entry.Unhitched{Drill: c.drill}
		case 6, 7:
			id := ids[max(0, len(ids)-1-r.IntN(5)):]
			if len(id) == 0 || p.state.Applied().Seq(id[0].Log) < id[0].Seq {
				continue
			}
			b = &entry.Struck{Entry: id[0], Why: "wrong"}
			if r.IntN(2) == 0 {
				b = &entry.Amended{Entry: id[0], Body: &entry.Filled{Box: c.grain, Lot: c.oat, Mass: 1_000_000}}
			}
		case 8:
			meet(p, ps[r.IntN(3)])
			continue
		default:
			b = &entry.Filled{Box: c.grain, Lot: c.oat, Mass: units.Mass(1+r.IntN(3)) * 10_000_000}
		}
		ids = append(ids, p.write(b))
	}
	c.op.write(&entry.Noted{Text: "before the stop"})
	c.own.write(&entry.DeviceStopped{Last: c.own.mark(c.help.head.Log.Device()), Why: "lost"})
	c.merge()
	want := c.own.state.Digest()
	for _, p := range ps {
		if p.state.Digest() != want {
			t.Fatal("digests differ after merging")
		}
	}
	for n := range 40 {
		s := farm.New(c.own.head.Farm)
		next := map[entry.DeviceID]int{}
		for left := devices(c.own); len(left) > 0; {
			i := r.IntN(len(left))
			d := left[i]
			es := c.own.all[d.Log()]
			s.Apply(es[next[d]])
			if r.IntN(4) == 0 {
				s.Apply(es[next[d]]) // again
			}
			if r.IntN(20) == 0 {
				s.View()
			}
			if next[d]++; next[d] == len(es) {
				left = slices.Delete(left, i, i+1)
			}
		}
		if s.Digest() != want {
			t.Fatalf("order %d gives another digest", n)
		}
	}
	if again := reloaded(t, c.own.state); again.Digest() != want {
		t.Fatal("a saved fold gives another digest")
	}
}

// reloaded is a state saved and read again.
func reloaded(t *testing.T, s *farm.State) *farm.State {
	fold, err := wire.OpenFold(s.Farm(), bytes.NewReader(wire.SaveFold(s)))
	if err != nil {
		t.Fatal(err)
	}
	again := farm.New(s.Farm())
	for {
		es, err := fold.Next(nil)
		if err == io.EOF {
			return again
		}
		if err != nil {
			t.Fatal(err)
		}
		again.Apply(es...)
	}
}
