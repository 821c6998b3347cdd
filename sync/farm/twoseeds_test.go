package farm_test

import (
	"math"
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// twoSeeds is a box whose chart gives 12 lb/ac of clover and 6 of timothy at
// dial 20, and in it 12 lb of clover with 6 lb of timothy poured onto it.
type twoSeeds struct {
	*crew
	box, clover, timothy entry.ID
	onto                 entry.ID // the fill of timothy
}

func cloverAndTimothy(t *testing.T) *twoSeeds {
	c := &twoSeeds{crew: setUp(t)}
	c.box = c.own.write(&entry.BoxSet{Drill: c.drill, Name: entry.Some("small"), DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(60_000))})
	c.clover = c.own.write(&entry.LotSet{Name: entry.Some("R-7"), Species: entry.Some("red clover")})
	c.timothy = c.own.write(&entry.LotSet{Name: entry.Some("T-2"), Species: entry.Some("timothy")})
	for species, lb := range map[string]float64{"red clover": 12, "timothy": 6} {
		for dial := 1; dial <= 3; dial++ {
			r, _ := units.RateFromLbPerAcre(lb * float64(dial) / 2)
			c.own.write(&entry.ChartPointSet{Box: c.box, Species: species, Dial: units.Dial(dial * 10_000), Rate: r})
		}
	}
	c.merge()
	c.own.write(&entry.DialMoved{Box: c.box, To: 20_000})
	c.own.write(&entry.CounterStood{Drill: c.drill})
	c.own.write(&entry.Filled{Box: c.box, Lot: c.clover, Mass: 12 * pound})
	c.onto = c.own.write(&entry.Filled{Box: c.box, Lot: c.timothy, Mass: 6 * pound})
	return c
}

func (c *twoSeeds) says(p *phone, choice string) entry.ID {
	return p.write(&entry.Settled{Doubt: string(farm.TwoSeeds), Entries: []entry.ID{c.onto}, Choice: choice, Why: "by who poured"})
}

// out is the pounds of each that went out and are left, held against what was
// poured.
func (c *twoSeeds) out(t *testing.T, p *phone) (clover, timothy float64) {
	t.Helper()
	b := boxNow(t, p, c.box)
	gone, all := map[entry.ID]units.Mass{}, map[entry.ID]units.Mass{}
	for _, o := range b.Out {
		gone[o.Lot] += o.Mass
		all[o.Lot] += o.Mass
	}
	for _, s := range b.Seed {
		all[s.Lot] += s.Mass
	}
	if all[c.clover] != 12*pound || all[c.timothy] != 6*pound || b.Gap != 0 {
		t.Errorf("gone and left are %v of clover and %v of timothy, gap %v", all[c.clover], all[c.timothy], b.Gap)
	}
	return gone[c.clover].Pounds(), gone[c.timothy].Pounds()
}

func TestASecondSpeciesIsInDoubt(t *testing.T) {
	c := cloverAndTimothy(t)
	c.own.write(&entry.MeterRead{Drill: c.drill, Ground: c.bench, Reading: 500})
	ds := openDoubts(c.own, farm.TwoSeeds)
	if len(ds) != 1 || !slices.Equal(ds[0].Entries, []entry.ID{c.onto}) || ds[0].About.String() != "box(small)" || len(ds[0].Choices) != 2 {
		t.Fatalf("in doubt: %+v", ds)
	}
	if clover, timothy := c.out(t, c.own); clover < 3 || timothy != 0 {
		t.Errorf("in doubt still, and %.3f lb of clover and %.3f of timothy went out", clover, timothy)
	}
	c.says(c.own, entry.AsWritten)
	if len(openDoubts(c.own, farm.TwoSeeds)) != 1 {
		t.Error("a word that is neither settles it")
	}
	clover, _ := c.out(t, c.own)
	c.says(c.own, entry.Layered)
	if again, timothy := c.out(t, c.own); again != clover || timothy != 0 || len(openDoubts(c.own, farm.TwoSeeds)) != 0 {
		t.Errorf("one above the other: %.3f lb of clover, %.3f of timothy; %.3f before", again, timothy, clover)
	}
}

// A blend of two parts clover and one of timothy goes out by mass, two to one,
// and at 1 ÷ (2/3 ÷ 12 + 1/3 ÷ 6) = 9 lb/ac, worked by hand.
func TestABlendGoesOutByMass(t *testing.T) {
	c := cloverAndTimothy(t)
	c.says(c.own, entry.Blended)
	if n := len(openDoubts(c.own, farm.TwoSeeds)); n != 0 {
		t.Errorf("%d doubts are open once it is settled", n)
	}
	if b := boxNow(t, c.own, c.box); b.Rate == nil || math.Abs(b.Rate.Rate.LbPerAcre()-9) > 0.09 {
		t.Errorf("the blend goes out at %+v, want 9 lb/ac", b.Rate)
	}
	at := func(reading units.Reading) (clover, timothy float64) {
		c.own.write(&entry.MeterRead{Drill: c.drill, Ground: c.bench, Reading: reading})
		return c.out(t, c.own)
	}
	for _, reading := range []units.Reading{300, 700, 1000} {
		clover, timothy := at(reading)
		if timothy == 0 || math.Abs(clover/timothy-2) > 0.0001 {
			t.Errorf("at %v, %.4f lb of clover and %.4f of timothy went out, want two to one", reading, clover, timothy)
		}
	}
	clover, timothy := c.out(t, c.own)
	if b := boxNow(t, c.own, c.box); math.Abs(clover+timothy-b.Field.Rate.LbPerAcre()) > 0.1*b.Field.Rate.LbPerAcre() {
		t.Errorf("%.3f lb went out on an acre, and the box gives %v", clover+timothy, b.Field.Rate)
	}
	g, _ := c.own.state.View().GroundOf(c.bench)
	if math.Abs(g.Done.Acres()-1) > 0.001 {
		t.Errorf("%.3f ac done: a stretch counts once, whatever it took", g.Done.Acres())
	}
	// More of either is mixed in, without a doubt of its own; what is seen is
	// put down to both; what is left over is of both.
	c.own.write(&entry.LevelRead{Box: c.box, Mass: entry.Some(units.Mass(6 * pound))})
	if clover, timothy := c.out(t, c.own); math.Abs(clover/timothy-2) > 0.001 {
		t.Errorf("after a look, %.4f and %.4f lb went out", clover, timothy)
	}
	c.own.write(&entry.Filled{Box: c.box, Lot: c.clover, Mass: 3 * pound})
	if n, ls := len(openDoubts(c.own, farm.TwoSeeds)), boxNow(t, c.own, c.box).Seed; n != 0 || len(ls) != 2 {
		t.Errorf("%d doubts, %v", n, ls)
	}
	c.own.write(&entry.MeterRead{Drill: c.drill, Ground: c.bench, Reading: 9000})
	if left := boxNow(t, c.own, c.box).Left; left != 0 {
		t.Errorf("%v is left after 8 ac", left)
	}
}

// Another lot of one species is no second seed, nor is what follows an empty box.
func TestOneSpeciesIsNoDoubt(t *testing.T) {
	c := cloverAndTimothy(t)
	other := c.own.write(&entry.LotSet{Name: entry.Some("T-3"), Species: entry.Some("Timothy")})
	c.says(c.own, entry.Layered)
	c.own.write(&entry.Filled{Box: c.box, Lot: other, Mass: pound})
	c.own.write(&entry.Drained{Box: c.box, All: true})
	c.own.write(&entry.Filled{Box: c.box, Lot: c.clover, Mass: pound})
	if ds := openDoubts(c.own, farm.TwoSeeds); len(ds) != 0 {
		t.Errorf("in doubt: %+v", ds)
	}
}

// Two who say otherwise, apart, leave it in doubt, and all come to the same
// whatever arrives first. Who poured it may say, and another helper may not.
func TestWhoSaysHowTwoSeedsLie(t *testing.T) {
	c := cloverAndTimothy(t)
	c.merge()
	c.says(c.help, entry.Blended)
	if len(openDoubts(c.help, farm.TwoSeeds)) != 1 {
		t.Error("a helper settled what another poured")
	}
	c.says(c.own, entry.Blended)
	c.says(c.op, entry.Layered)
	c.own.write(&entry.MeterRead{Drill: c.drill, Ground: c.bench, Reading: 500})
	c.merge()
	for _, p := range []*phone{c.own, c.op, c.help} {
		if _, timothy := c.out(t, p); timothy != 0 || len(openDoubts(p, farm.TwoSeeds)) != 1 {
			t.Errorf("told apart both ways, %.3f lb of timothy went out and %d are in doubt", timothy, len(openDoubts(p, farm.TwoSeeds)))
		}
	}
	c.says(c.op, entry.Blended)
	c.merge()
	digest := c.own.state.Digest()
	for _, p := range []*phone{c.own, c.op, c.help} {
		if clover, timothy := c.out(t, p); math.Abs(clover/timothy-2) > 0.001 || p.state.Digest() != digest {
			t.Errorf("%.3f lb of clover, %.3f of timothy", clover, timothy)
		}
	}
}

// Who pours a second species onto the first is asked before it is written.
func TestASecondSpeciesIsAskedAbout(t *testing.T) {
	c := cloverAndTimothy(t)
	oats := &entry.Filled{Box: c.box, Lot: c.oat, Mass: pound}
	ds := slices.DeleteFunc(c.own.asked(oats), func(d farm.Doubt) bool { return d.Kind != farm.TwoSeeds })
	if len(ds) != 1 || len(ds[0].Choices) != 2 || ds[0].Choices[0].Say != entry.Blended || ds[0].Why.ID != "slip.two-seeds" {
		t.Fatalf("asked %+v", ds)
	}
	c.own.write(oats)
	for _, b := range ds[0].Settling(ds[0].Choices[0], "", "") {
		c.own.write(b)
	}
	if open := openDoubts(c.own, farm.TwoSeeds); len(open) != 1 || open[0].Entries[0] != c.onto {
		t.Errorf("answered, and in doubt: %+v", open)
	}
}

// A plan that puts both into the box for one piece of ground means them mixed:
// nobody is asked, and no dial is told from the chart of one.
func TestAPlannedMixIsNoDoubt(t *testing.T) {
	c := cloverAndTimothy(t)
	for l, species := range map[entry.ID]string{c.clover: "red clover", c.timothy: "timothy"} {
		c.own.write(&entry.LabelSet{Lot: l, Lines: []entry.LabelLine{{Species: species, Share: entry.Some(units.Share(98_000)), Germination: entry.Some(units.Share(90_000))}}})
	}
	r, _ := units.RateFromLbPerAcre(4)
	plan := func(lots ...entry.ID) {
		for _, l := range lots {
			c.own.write(&entry.PlanSet{Ground: c.bench, Components: []entry.Component{{Lot: l, Box: c.box, Live: r}}})
		}
	}
	plan(c.clover)
	if b := boxNow(t, c.own, c.box); len(openDoubts(c.own, farm.TwoSeeds)) != 1 || b.ForAim == nil || b.Mixed != nil {
		t.Errorf("clover alone is planned: %v in doubt, mixed %v", openDoubts(c.own, farm.TwoSeeds), b.Mixed)
	}
	plan(c.timothy)
	b := boxNow(t, c.own, c.box)
	if n := len(openDoubts(c.own, farm.TwoSeeds)); n != 0 || b.ForAim != nil || !slices.Equal(b.Mixed, []string{"Red clover", "Timothy"}) {
		t.Errorf("both are planned: %d in doubt, mixed %v, dial %+v", n, b.Mixed, b.ForAim)
	}
	if b.Rate == nil || math.Abs(b.Rate.Rate.LbPerAcre()-9) > 0.09 { // as a blend gives, above
		t.Errorf("the mix goes out at %+v, want 9 lb/ac", b.Rate)
	}
	c.own.silent(&entry.Filled{Box: c.box, Lot: c.clover, Mass: pound})
	c.says(c.own, entry.Layered) // who knows better is heard
	if b := boxNow(t, c.own, c.box); math.Abs(b.Rate.Rate.LbPerAcre()-12) > 0.12 {
		t.Errorf("one above the other, and it goes out at %v", b.Rate.Rate)
	}
}
