package farm_test

import (
	"reflect"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// Spots noted apart are all there; one is gone for everybody once somebody says
// so, and there again where that was wrong.
func TestSpotsOfGround(t *testing.T) {
	c := setUp(t)
	stone := c.own.write(&entry.Pinned{Ground: c.bench, What: entry.PinnedStone, Row: 3})
	meet(c.own, c.help)
	thin := c.help.write(&entry.Pinned{Ground: c.bench, What: entry.PinnedThin})
	gone := c.help.write(&entry.Pinned{Of: stone, Gone: true, Text: "dug out"})
	c.own.write(&entry.Pinned{Of: stone, Gone: true})
	gate := c.own.write(&entry.Pinned{Longitude: entry.Some(int64(-771_234_567)), Latitude: entry.Some(int64(412_345_678)), Accuracy: 5_000_000, What: entry.PinnedOther, Text: "wet"})
	meet(c.own, c.help)
	for _, p := range []*phone{c.own, c.help} {
		v := p.state.View()
		if len(v.Spots) != 3 || len(v.SpotsOn(c.bench)) != 1 || v.SpotsOn(c.bench)[0].ID != thin || len(v.SpotsOn(entry.ID{})) != 2 {
			t.Errorf("spots on %s: %+v", p.head.Log, v.Spots)
		}
		told(t, p, gone, `noted(spot.gone(spot.row(spot.on(spot.stone, bench), 3)), "dug out")`)
		told(t, p, gate, `noted(spot.within(spot.at(spot, 41.2345678, -77.1234567), 5 m), "wet")`)
	}
	if c.own.state.Digest() != c.help.state.Digest() {
		t.Error("the two differ")
	}
	before := c.own.state.Digest()
	for _, l := range c.own.state.Lines() {
		if b, ok := l.Now.(*entry.Pinned); ok && b.Gone {
			c.own.write(&entry.Struck{Entry: l.ID, Why: "the wrong stone"})
		}
	}
	if n := len(c.own.state.View().SpotsOn(c.bench)); n != 2 || c.own.state.Digest() == before {
		t.Errorf("%d spots on the bench, the stone is still gone", n)
	}
}

func told(t *testing.T, p *phone, id entry.ID, want string) {
	t.Helper()
	if l, ok := p.state.Line(id); !ok || l.What.String() != want || l.LeftOut != "" {
		t.Errorf("told as %s (%s), want %s", l.What, l.LeftOut, want)
	}
}

// Whoever sees seed come need not have heard that it was on the way: of what is
// said apart the furthest counts, and nobody is asked.
func TestErrandsAreAsFarAsAnybodySays(t *testing.T) {
	c := setUp(t)
	ask := c.own.write(&entry.Errand{State: entry.ErrandWanted, Lot: c.oat, Bags: 2000, Box: c.grain})
	meet(c.own, c.help)
	meet(c.own, c.op)
	there := c.op.write(&entry.Errand{Of: ask, State: entry.ErrandThere})
	way := c.help.write(&entry.Errand{Of: ask, State: entry.ErrandOnTheWay})
	told(t, c.help, way, "errand(on the way, errand.for(errand.seed(bags(2), O-1), box(grain)))")
	if s := errandOf(t, c.help, ask); s.State != entry.ErrandOnTheWay {
		t.Errorf("%s, want on the way", s.State)
	}
	doubts := c.own.state.View().Open
	meet(c.own, c.help)
	meet(c.own, c.op)
	meet(c.own, c.help)
	for _, p := range []*phone{c.own, c.help, c.op} {
		if s := errandOf(t, p, ask); s.State != entry.ErrandThere || s.By != there || len(p.state.View().Wanted()) > 0 {
			t.Errorf("%+v, want there, by %s", s, there)
		}
		if n := p.state.View().Open; n != doubts {
			t.Errorf("%d doubts, before %d", n, doubts)
		}
	}
	again := c.help.write(&entry.Errand{Of: ask, State: entry.ErrandWanted, Note: "it was rye"})
	if s := errandOf(t, c.help, ask); s.State != entry.ErrandWanted || s.By != again {
		t.Errorf("who knew that it was there wants it again: %+v", s)
	}
	heavier := c.own.write(&entry.Amended{Entry: ask, Body: &entry.Errand{State: entry.ErrandWanted, Lot: c.oat, Mass: 45_359_237, MassIn: units.InPounds, Gate: "north gate"}})
	seed := message.Of("errand.seed", message.MassAs(45_359_237, units.InPounds), message.Name{Of: c.oat, Name: "O-1"})
	wanted := message.Of("errand", message.TermOf("errand", "wanted"), message.Of("errand.gate", seed, message.Text("north gate")))
	if l, _ := c.own.state.Line(heavier); l.LeftOut != "" || !reflect.DeepEqual(l.What, message.Of("amended-to", message.Text(ask.Short()), wanted)) {
		t.Errorf("told as %#v (%s)", l.What, l.LeftOut)
	}
}

func errandOf(t *testing.T, p *phone, id entry.ID) farmErrand {
	t.Helper()
	for _, e := range p.state.View().Errands {
		if e.ID == id {
			return farmErrand{e.State, e.By}
		}
	}
	t.Fatal("nothing was asked for")
	return farmErrand{}
}

type farmErrand struct {
	State entry.ErrandState
	By    entry.ID
}
