package farm_test

import (
	"reflect"
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

func lotOf(name, species string) *entry.LotSet {
	return &entry.LotSet{Name: entry.Some(name), Species: entry.Some(species)}
}

// A species that nobody knows is asked about where one letter makes it another
// that somebody does; one that is like none is a species of its own.
func TestAMisspeltSpeciesIsAskedAbout(t *testing.T) {
	for text, meant := range map[string]string{
		"red cloverr": "red clover", "tmothy": "timothy", "orchardgras": "orchardgrass", "oatss": "oats", "tall fescu": "tall fescue", "Trifolium pratens": "trifolium pratense",
	} {
		c := setUp(t)
		d := c.own.asks(farm.NearSpecies, lotOf("T-1", text))
		instead(t, d, offer(message.Text(meant), "how.not", message.Text(text)))
		c.own.settle(d, entry.Instead)
		lots := c.own.state.View().Lots
		if got := lots[len(lots)-1].Species; got != meant {
			t.Errorf("%s: the lot is %s", text, got)
		}
		c = setUp(t)
		c.own.settle(c.own.asks(farm.NearSpecies, lotOf("T-1", text)), entry.AsWritten)
		c.own.silent(lotOf("T-2", text))
	}
	for _, text := range []string{"red clover", "Red Clover", "oats", "teff", "phacelia", "sainfoin", "horse mix", "red clover mix", "flax", "mustard", "black oat",
		"ball clover", "rose clover", "kura clover", "native mix 2", "meadow brome", "sorghum"} {
		c := setUp(t)
		c.own.silent(lotOf("T-1", text))
	}
}

// What a crew calls by a name that no table has is known from then on.
func TestASpeciesIsHeldAgainstTheCrewsOwn(t *testing.T) {
	c := setUp(t)
	c.own.silent(lotOf("T-1", "tef grass"))
	instead(t, c.own.asks(farm.NearSpecies, lotOf("T-2", "tef gras")), offer(message.Text("tef grass"), "how.not", message.Text("tef gras")))
}

// One answer is for all that names it: lot, label, chart and plan.
func TestAMisspeltSpeciesIsMendedEverywhere(t *testing.T) {
	c := setUp(t)
	lot := c.own.write(lotOf("R-9", "red cloverr"))
	c.own.write(&entry.LabelSet{Lot: lot, Lines: []entry.LabelLine{{Species: "red cloverr", Share: entry.Some(units.Share(98_000))}}})
	for _, dial := range []units.Dial{10_000, 20_000} {
		c.own.write(&entry.ChartPointSet{Box: c.grain, Species: "red cloverr", Dial: dial, Rate: units.RatePerArea(1_000_000 + int64(dial))})
	}
	c.own.write(&entry.PlanSet{Ground: c.bench, Nurse: entry.Some("red cloverr")})
	open := openOf(c.own, farm.NearSpecies)
	if len(open) != 1 {
		t.Fatalf("in doubt: %v", open)
	}
	c.own.settle(open[0], entry.Instead)
	v := c.own.state.View()
	if l, _ := v.LotOf(lot); l.Species != "red clover" || len(l.Label) != 1 || l.Label[0].Species != "red clover" || l.Label[0].Share != 98_000 {
		t.Errorf("the lot is %+v", l)
	}
	for _, p := range v.Boxes[0].Chart {
		if p.Species == "red cloverr" {
			t.Errorf("the chart still has %+v", p)
		}
	}
	if n := v.Grounds[0].Nurse; n != "red clover" {
		t.Errorf("the nurse is %s", n)
	}
	if open := kinds(c.own, false); len(open) > 0 {
		t.Errorf("left in doubt: %v", open)
	}
}

func TestAPouredLotThatBecomesAnotherSpeciesIsAskedAbout(t *testing.T) {
	change := func(c *crew, to string) *entry.LotSet { return &entry.LotSet{Lot: c.oat, Species: entry.Some(to)} }
	unlabelled := func() *crew {
		c := setUp(t)
		c.own.write(&entry.LabelSet{Lot: c.oat, Lines: []entry.LabelLine{{Species: "oat", Removed: true}}})
		return c
	}
	c := unlabelled()
	c.own.silent(change(c, "red clover")) // nobody poured any yet
	c = unlabelled()
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 1000})
	c.own.silent(change(c, "Oats")) // the same by another name
	d := c.own.asks(farm.ChangedSpecies, change(c, "red clover"))
	instead(t, d, offer(message.Text("Oats"), "how.as-it-was"))
	c.own.settle(d, entry.Instead)
	if l, _ := c.own.state.View().LotOf(c.oat); l.Species != "Oats" {
		t.Errorf("the lot is %s", l.Species)
	}
	c.own.settle(c.own.asks(farm.ChangedSpecies, change(c, "timothy")), entry.AsWritten)
	if open := openOf(c.own, farm.ChangedSpecies); len(open) > 0 {
		t.Errorf("a yes leaves %v", open)
	}
}

func TestALabelOfOtherSeedIsAskedAbout(t *testing.T) {
	label := func(c *crew, species ...string) *entry.LabelSet {
		b := &entry.LabelSet{Lot: c.oat}
		if !slices.Contains(species, "oat") {
			b.Lines = append(b.Lines, entry.LabelLine{Species: "oat", Removed: true}) // setUp's
		}
		for _, s := range species {
			b.Lines = append(b.Lines, entry.LabelLine{Species: s, Share: entry.Some(units.Share(40_000))})
		}
		return b
	}
	for word, want := range map[string]string{entry.Instead: "red clover", entry.Instead + "-2": "oat"} {
		c := setUp(t)
		c.own.settle(c.own.asks(farm.OtherLabel, label(c, "red clover")), word)
		if l, _ := c.own.state.View().LotOf(c.oat); l.Species != want || len(l.Label) != 1 || l.Label[0].Species != want {
			t.Errorf("%s: the lot is %s, its label %+v", word, l.Species, l.Label)
		}
		if open := openOf(c.own, farm.OtherLabel); len(open) > 0 {
			t.Errorf("%s leaves %v", word, open)
		}
	}
	c := setUp(t)
	c.own.asks(farm.OtherLabel, label(c, "red clover", "timothy"))
	c = setUp(t)
	c.own.silent(label(c, "Oats"))
	c = setUp(t)
	c.own.silent(label(c, "oat", "red clover"))
	c = setUp(t)
	c.own.silent(lotOf("M-1", "horse mix"))
	lots := c.own.state.View().Lots
	mix := label(c, "timothy", "red clover")
	mix.Lot = lots[len(lots)-1].ID
	c.own.silent(mix)
}

// 64 % of the bag or of the seed: 57.6 % live, or 38.0 % (7 CFR 201.51b(f) and
// Penn State: purity × germination, with or without the coating).
func TestACoatingThatTheLabelDoesNotTellIsAskedAbout(t *testing.T) {
	label := func(c *crew) *entry.LabelSet {
		return &entry.LabelSet{Lot: c.oat, Lines: []entry.LabelLine{{Species: "oat", Share: entry.Some(units.Share(64_000)),
			Germination: entry.Some(units.Share(90_000)), Coating: entry.Some(units.Share(34_000))}}}
	}
	for word, counted := range map[string]string{"in": "in", "apart": "apart"} {
		c := setUp(t)
		d := c.own.asks(farm.UnclearCoating, label(c))
		live := func(counted string, s units.Share) message.Message {
			return offer(message.TermOf("coating", counted), "how.live", message.Share(s))
		}
		if len(d.Choices) != 2 || !reflect.DeepEqual(d.Choices[0].What, live("in", 57_600)) || !reflect.DeepEqual(d.Choices[1].What, live("apart", 38_016)) {
			t.Errorf("to choose from: %+v", d.Choices)
		}
		c.own.settle(d, word)
		l, _ := c.own.state.View().LotOf(c.oat)
		if l.Tag.Counted.String() != counted {
			t.Errorf("%s: counted %v", word, l.Tag.Counted)
		}
		if open := openOf(c.own, farm.UnclearCoating); len(open) > 0 {
			t.Errorf("%s leaves %v", word, open)
		}
	}
	c := setUp(t)
	b := label(c)
	b.Inert, b.OtherCrop = entry.Some(units.Share(1_500)), entry.Some(units.Share(500))
	c.own.silent(b) // the shares add up, and so they tell
	c = setUp(t)
	b = label(c)
	b.CoatingCounted = entry.CoatingIn
	c.own.silent(b)
}
