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

// asked is what would be asked if a phone wrote bodies now.
func (p *phone) asked(bodies ...entry.Body) []farm.Doubt {
	p.t.Helper()
	before := p.state.Digest()
	ds := p.state.Unlikely(farm.Writer{Device: p.head.Log.Device(), Person: p.by, Wall: *p.wall + 60_000}, bodies...)
	if p.state.Digest() != before {
		p.t.Error("asking left a trace in the state")
	}
	return ds
}

// asks wants one question of a kind about what is to be written, and the same
// as an open doubt once it is; it gives the doubt.
func (p *phone) asks(kind farm.DoubtKind, b entry.Body) farm.Doubt {
	p.t.Helper()
	ds := p.asked(b)
	if len(ds) != 1 || ds[0].Kind != kind {
		p.t.Fatalf("asked %v, want one %s", ds, kind)
	}
	id := p.write(b)
	for _, d := range openOf(p, kind) {
		if slices.Contains(d.Entries, id) {
			if d.ID() != ds[0].ID() || !reflect.DeepEqual(d.Why, ds[0].Why) || len(d.Choices) > len(ds[0].Choices) {
				p.t.Errorf("asked %+v, then in doubt %+v", ds[0], d)
			}
			return d
		}
	}
	p.t.Fatalf("written %s is no doubt of kind %s", id, kind)
	return farm.Doubt{}
}

// silent wants no question about what is to be written, and no slip once it is.
func (p *phone) silent(bodies ...entry.Body) {
	p.t.Helper()
	if ds := p.asked(bodies...); len(ds) > 0 {
		p.t.Fatalf("asked %s: %s", ds[0].Kind, ds[0].Why)
	}
	for _, b := range bodies {
		p.write(b)
	}
}

func openOf(p *phone, kind farm.DoubtKind) (ds []farm.Doubt) {
	for d := range p.state.View().Doubts() {
		if d.Kind == kind && !d.Settled {
			ds = append(ds, d)
		}
	}
	return ds
}

func grams(g float64) units.Mass {
	m, err := units.MassFromGrams(g)
	if err != nil {
		panic(err)
	}
	return m
}

func pounds(lb float64) units.Mass {
	m, err := units.MassFromPounds(lb)
	if err != nil {
		panic(err)
	}
	return m
}

// caught is a catch of oat from the grain box at dial 33, where the chart of
// setUp says 34 lb/ac: about 139 g.
func (c *crew) caught(g float64) *entry.Caught {
	return &entry.Caught{Box: c.grain, Lot: c.oat, Dial: 33_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{grams(g)}, Resolution: 1000}
}

// settle settles a doubt by one of its choices.
func (p *phone) settle(d farm.Doubt, word string) {
	p.t.Helper()
	for _, c := range d.Choices {
		if c.Word == word {
			for _, b := range d.Settling(c, "looked", "") {
				p.write(b)
			}
			return
		}
	}
	p.t.Fatalf("%s has no choice %s: %+v", d.Kind, word, d.Choices)
}

// offer is a figure that may have been meant, and how it came to be written
// otherwise.
func offer(figure message.Arg, how message.ID, args ...message.Arg) message.Message {
	what, ok := figure.(message.Message)
	if !ok {
		what = message.Of("value", figure)
	}
	return message.Of("noted", what, message.Of(how, args...))
}

// offerCaught is that so many grams were caught, by a slip as the rate engine
// calls it.
func offerCaught(g float64, slip string) message.Message {
	return offer(message.Caught(grams(g), 0), "how", message.TermOf("slip", slip))
}

// instead is the likely reading that a doubt offers.
func instead(t *testing.T, d farm.Doubt, what message.Message) {
	t.Helper()
	for _, c := range d.Choices {
		if c.Say == entry.Instead {
			if !reflect.DeepEqual(c.What, what) {
				t.Errorf("offers %#v, want %#v", c.What, what)
			}
			return
		}
	}
	t.Errorf("offers nothing, want %s: %+v", what, d.Choices)
}

// The chart says 33 lb/ac at dial 33, which is 140 g over 20 turns and 4 rows.
func TestAnUnlikelyCatchIsAskedAbout(t *testing.T) {
	for _, c := range []struct {
		caught float64
		meant  float64 // in its place
		slip   string
	}{
		{1400, 140, "a point left out"},
		{14, 140, "a point too many"},
		{140 * 28.349523125, 140, "grams, not ounces"},
		{140 / 28.349523125, 139.99, "ounces, not grams"}, // written to the milligram
		{140 * 453.59237, 140, "grams, not pounds"},
		{300, 150, "only half of the turns or rows written"},
		{65, 130, "twice the turns or rows written"},
	} {
		crew := setUp(t)
		instead(t, crew.own.asks(farm.UnlikelyCatch, crew.caught(c.caught)), offerCaught(c.meant, c.slip))
	}
	for _, g := range []float64{80, 100, 200, 250} { // charts were found 25 to 50 % off
		crew := setUp(t)
		crew.own.silent(crew.caught(g))
	}
	crew := setUp(t)
	for _, g := range []float64{140, 139, 142} {
		crew.own.silent(crew.caught(g))
	}
	if d := crew.own.asks(farm.UnlikelyCatch, crew.caught(3950)); d.Field != "caught" {
		t.Errorf("the field is %q", d.Field)
	}
	crew.own.silent(crew.caught(141)) // a catch in doubt says nothing about the next
}

// Without a chart, the first catch is the measure of the next.
func TestACatchIsHeldAgainstEarlierOnes(t *testing.T) {
	c := setUp(t)
	for _, dial := range []units.Dial{20_000, 40_000, 60_000} {
		c.own.write(&entry.ChartPointSet{Box: c.grain, Species: "oat", Dial: dial})
	}
	c.own.silent(c.caught(700), c.caught(650))
	d := c.own.asks(farm.UnlikelyCatch, c.caught(70))
	instead(t, d, offerCaught(700, "a point too many"))
}

func TestAnUnlikelyCatchIsSettledByEitherReading(t *testing.T) {
	c := setUp(t)
	c.op.settle(c.op.asks(farm.UnlikelyCatch, c.caught(1400)), entry.Instead)
	if open := openOf(c.op, farm.UnlikelyCatch); len(open) > 0 || !slices.Contains(kinds(c.op, true), farm.UnlikelyCatch) {
		t.Errorf("still open: %v", open)
	}
	got := c.op.state.Lines()
	if l := got[len(got)-3]; !l.Amended || l.Now.(*entry.Caught).Masses[0] != grams(140) {
		t.Errorf("the catch stands as %+v", l.Now)
	}

	// What is right as it was written is right, until it is amended.
	d := c.help.asks(farm.UnlikelyCatch, c.caught(420))
	c.help.settle(d, entry.AsWritten)
	if open := openOf(c.help, farm.UnlikelyCatch); len(open) > 0 {
		t.Errorf("still open: %v", open)
	}
	c.help.silent(c.caught(410))
	c.help.write(&entry.Amended{Entry: d.Entries[0], Body: c.caught(4200)})
	// The catch after it has then only the chart to go by, and is in doubt too.
	if open := openOf(c.help, farm.UnlikelyCatch); len(open) != 2 || open[0].Entries[0] != d.Entries[0] {
		t.Errorf("a figure that nobody said yes to is not in doubt: %v", open)
	}
}

// Whoever may write a thing may say that it is as written; of others' it is
// left to who may settle doubts.
func TestAHelperSettlesTheirOwnSlips(t *testing.T) {
	c := setUp(t)
	d := c.op.asks(farm.UnlikelyCatch, c.caught(1400))
	c.merge()
	c.help.settle(d, entry.AsWritten)
	if open := openOf(c.help, farm.UnlikelyCatch); len(open) != 1 {
		t.Errorf("a helper settled an operator's slip: %v", open)
	}
	if open := openOf(c.help, farm.NoRight); len(open) != 1 {
		t.Errorf("want it left out: %v", open)
	}
	other := setUp(t)
	d = other.help.asks(farm.UnlikelyCatch, other.caught(1400))
	other.help.settle(d, entry.AsWritten)
	other.merge()
	for _, p := range []*phone{other.own, other.op, other.help} {
		if open := openOf(p, farm.UnlikelyCatch); len(open) > 0 {
			t.Errorf("a helper's own yes settles nothing: %v", open)
		}
	}
}

// A copy is the same state, forks and all that is left out included.
func TestACopyIsTheSameState(t *testing.T) {
	c := setUp(t)
	c.help.write(&entry.DialMoved{Box: c.grain, To: 20_000})
	c.op.by = c.grain // no person
	c.op.write(&entry.Noted{Text: "who?"})
	c.merge()
	for _, p := range []*phone{c.own, c.op, c.help} {
		if p.state.Copy().Digest() != p.state.Digest() {
			t.Error("a copy has another digest")
		}
	}
}
