package farm_test

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

func (c *crew) ground(name string) *entry.GroundSet {
	return &entry.GroundSet{Name: entry.Some(name), Area: entry.Some(units.Area(80_000_000))}
}

func TestANameLikeAnothersIsAskedAbout(t *testing.T) {
	for _, name := range []string{"bensh", "bnech", "Bench.", "benchs", "be nch", "bech", "benches", "benh", "the bench", "The Bensh"} {
		c := setUp(t)
		d := c.own.asks(farm.NearName, c.ground(name))
		c.own.settle(d, entry.Instead)
		v := c.own.state.View()
		if len(v.Grounds) != 1 || v.Grounds[0].Name != "bench" || v.Grounds[0].Area != 80_000_000 {
			t.Errorf("%s: one and the same is %+v", name, v.Grounds)
		}
	}
	c := setUp(t)
	for _, name := range []string{"bench 1", "bench 2", "bend", "hill field", "mill field", "east 40", "west 40", "field A", "field B", "long meadow", "low meadow", "upper", "lower",
		"North 1", "North 2", "hill", "mill", "hall", "hill east", "hill west", "hill north", "hill south", "wet field", "west field", "back lot", "black lot",
		"top", "stop", "long bench", "piece II", "piece III", "piece VII", "piece VIII", "the", "the long", "field an"} {
		c.own.silent(c.ground(name))
	}
	for _, name := range []string{"O-2", "O-11", "R-1", "OAT26", "C-1"} {
		c.own.silent(&entry.LotSet{Name: entry.Some(name)})
	}
	c.own.settle(c.own.asks(farm.NearName, &entry.LotSet{Name: entry.Some("o1")}), entry.AsWritten)
	if n := len(c.own.state.View().Lots); n != 7 {
		t.Errorf("%d lots, want two of like names", n)
	}
}

// Short words, plurals and figures for letters are slips too, each asked about
// once; two words that are wrong, or another number, are another name.
func TestShortNamesArePutInDoubtWhereALetterIsLost(t *testing.T) {
	for name, asks := range map[string]bool{
		"hil": true, "hlil": true, "hills": true, "Hill": true, "mil field": true, "nort 1": true, "piec II": true, "0-7": true, "hill eas": true,
		"mil feild": false, "north 2": false, "piece III": false, "hell": false, "ill": false, "hill west": false, "O-8": false, "hi": false,
	} {
		c := setUp(t)
		for _, known := range []string{"hill", "mill field", "North 1", "piece II", "O-7", "hill east"} {
			c.own.write(c.ground(known))
		}
		if got := c.own.asked(c.ground(name)); len(got) > 1 || (len(got) == 1) != asks {
			t.Errorf("%s: asked %v, want a question: %v", name, got, asks)
		}
	}
}

// Whoever misspelt the first of two says that the second is right: it is one
// thing, by its right name, with what both said of it.
func TestAMisspeltNameWrittenFirstIsRenamed(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.GroundSet{Name: entry.Some("hil"), Notes: entry.Some("wet at the spring")})
	c.own.settle(c.own.asks(farm.NearName, c.ground("hill")), entry.Instead+"-2")
	v := c.own.state.View()
	if len(v.Grounds) != 2 {
		t.Fatalf("%d pieces of ground, want bench and hill", len(v.Grounds))
	}
	if g := v.Grounds[1]; g.Name != "hill" || g.Area != 80_000_000 || g.Notes != "wet at the spring" {
		t.Errorf("one and the same is %+v", g)
	}
}

func TestADialMovedToWhereItStandsIsAskedAbout(t *testing.T) {
	c := setUp(t)
	c.op.silent(&entry.DialMoved{Box: c.grain, To: 34_000})
	c.op.asks(farm.SameDial, &entry.DialMoved{Box: c.grain, To: 34_000})
	c.op.silent(&entry.DialMoved{Box: c.grain, To: 38_000}, &entry.DialMoved{Box: c.grain, To: 34_000})
	c.own.silent(&entry.DialMoved{Box: c.grain, To: 34_000}) // apart: both say the same
	c.merge()
	if open := openOf(c.own, farm.SameDial); len(open) != 1 {
		t.Errorf("in doubt: %v", open)
	}
}

func lbPerAcre(lb float64) units.RatePerArea {
	r, err := units.RateFromLbPerAcre(lb)
	if err != nil {
		panic(err)
	}
	return r
}

func (c *crew) plan(lb float64) *entry.PlanSet {
	return &entry.PlanSet{Ground: c.bench, Components: []entry.Component{{Lot: c.oat, Box: c.grain, Live: lbPerAcre(lb)}}}
}

// West Virginia University Extension, TRIM 5302: red clover 8 to 10 lb/ac
// alone, 2 to 6 in a mixture.
func TestAPlannedRateFarFromWhatIsPublishedIsAskedAbout(t *testing.T) {
	clover := func() *crew {
		c := setUp(t)
		c.own.write(&entry.LotSet{Lot: c.oat, Species: entry.Some("red clover")})
		return c
	}
	c := clover()
	instead(t, c.own.asks(farm.UnlikelyRate, c.plan(60)), offer(message.Rate(lbPerAcre(60)/10), "how.point-left-out"))
	c.own.settle(openOf(c.own, farm.UnlikelyRate)[0], entry.Instead)
	if p := c.own.state.View().Grounds[0].Plan; len(p) != 1 || p[0].Live.Format(units.US) != "6 lb/ac" {
		t.Errorf("planned %+v", p)
	}
	c = clover()
	instead(t, c.own.asks(farm.UnlikelyRate, c.plan(0.4)), offer(message.Rate(lbPerAcre(0.4)*10), "how.point-too-many"))
	for _, lb := range []float64{0.6, 1.5, 4, 8, 15} { // in a mixture of many, and on a poor bed
		c := clover()
		c.own.silent(c.plan(lb))
	}
	for _, lb := range []float64{20, 30, 60, 120, 200} { // oats, the first as a nurse crop
		c := setUp(t)
		c.own.silent(c.plan(lb))
	}
}

func TestMeasuresThatNoDrillHasAreAskedAbout(t *testing.T) {
	inch, foot := units.Length(25_400), units.Length(304_800)
	for _, c := range []struct {
		set  entry.DrillSet
		what message.Message
	}{
		{entry.DrillSet{Spacing: entry.Some(15 * foot / 2)}, offer(message.Length(15*inch/2), "how.inches-not-feet")},
		{entry.DrillSet{Spacing: entry.Some(units.Length(75_000))}, offer(message.Length(15*inch/2), "how.inches-not-centimetres")},
		{entry.DrillSet{Spacing: entry.Some(75 * inch)}, offer(message.Length(25*inch/4), "how.inches-not-feet")},
		{entry.DrillSet{Roll: entry.Some(98 * foot)}, offer(message.Length(98*inch), "how.inches-not-feet")},
		{entry.DrillSet{Width: entry.Some(10 * inch)}, offer(message.Length(10*foot), "how.feet-not-inches")},
	} {
		crew := setUp(t)
		c.set.Drill = crew.drill
		instead(t, crew.own.asks(farm.UnlikelyWidth, &c.set), c.what)
	}
	crew := setUp(t)
	for _, l := range []units.Length{4 * inch, 15 * inch / 2, 10 * inch, 36 * inch} {
		crew.own.silent(&entry.DrillSet{Drill: crew.drill, Spacing: entry.Some(l)})
	}
	for _, l := range []units.Length{4 * foot, 10 * foot, 60 * foot} {
		crew.own.silent(&entry.DrillSet{Drill: crew.drill, Width: entry.Some(l)})
	}
}

func TestASpeciesThatTheBoxIsNotMeantForIsAskedAbout(t *testing.T) {
	c := setUp(t)
	other := func(species string) entry.ID {
		id := c.own.write(&entry.LotSet{Name: entry.Some(species), Species: entry.Some(species), Bag: entry.Some(units.Mass(22_679_618))})
		c.merge()
		return id
	}
	fill := func(lot entry.ID, bags units.Count) *entry.Filled {
		return &entry.Filled{Box: c.grain, Lot: lot, Bags: bags}
	}
	c.help.silent(fill(c.oat, 1000))         // the chart is oat's
	c.help.silent(fill(other("Oats"), 1000)) // the same by another name
	clover := other("red clover")
	c.help.write(&entry.Drained{Box: c.grain, All: true})
	c.help.asks(farm.OtherSpecies, fill(clover, 500))
	c.help.silent(fill(clover, 250)) // once is enough

	// Where plans speak of the box, it is in doubt as a mixed lot; a helper's yes
	// settles that too.
	c = setUp(t)
	c.own.write(c.plan(30))
	rye := other("cereal rye")
	ds := c.help.asked(fill(rye, 500))
	if len(ds) != 1 || ds[0].Kind != farm.MixedLots {
		t.Fatalf("asked %v", ds)
	}
	ds[0].Entries = []entry.ID{c.help.write(fill(rye, 500))}
	c.help.settle(ds[0], entry.AsWritten)
	if open := kinds(c.help, false); slices.Contains(open, farm.MixedLots) || slices.Contains(open, farm.NoRight) {
		t.Errorf("a helper's yes leaves %v", open)
	}
	c = setUp(t)
	clover = other("red clover")
	c.help.asks(farm.OtherSpecies, fill(clover, 500))
	r, _ := units.RateFromLbPerAcre(8)
	c.own.write(&entry.PlanSet{Ground: c.bench, Components: []entry.Component{{Lot: clover, Box: c.grain, Live: r}}})
	c.merge()
	if open := openOf(c.help, farm.OtherSpecies); len(open) > 0 {
		t.Errorf("planned, and still in doubt: %v", open)
	}
}
