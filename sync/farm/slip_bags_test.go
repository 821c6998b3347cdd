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

const bag = 22_679_618 // mg of oat, by setUp

// took writes a fill of bags, ten minutes after whatever came before, and gives
// what was asked about it.
func (c *crew) took(bags units.Count) (asked []farm.Doubt, id entry.ID) {
	*c.help.wall += 10 * 60_000
	b := c.pour(bags, 0)
	return c.help.asked(b), c.help.write(b)
}

func TestEachFurtherFillBeyondWhatCameIsAskedAbout(t *testing.T) {
	c := setUp(t)
	c.help.write(&entry.BagsIn{Lot: c.oat, Bags: 6000})
	if asked, _ := c.took(5); len(asked) > 0 {
		t.Fatalf("5 of 6 bags: asked %+v", asked)
	}
	var over []entry.ID
	for i := range 3 {
		asked, id := c.took(2)
		if len(asked) != 1 || asked[0].Kind != farm.MoreThanCame || !slices.Equal(asked[0].Entries, []entry.ID{id}) {
			t.Fatalf("fill %d beyond what came: asked %+v", i+1, asked)
		}
		if c := asked[0].Choices; len(c) != 2 || c[0].Figure.String() != "bags(2)" || c[1].Word != "more-came" {
			t.Errorf("fill %d offers %+v", i+1, c)
		}
		over = append(over, id)
	}
	open := openOf(c.help, farm.MoreThanCame)
	if len(open) != 1 || !slices.Equal(open[0].Entries, over) {
		t.Fatalf("in doubt %+v, want the three fills since the bags were out", open)
	}
	left := message.Of("slip.more-left", message.Mass(11*bag), message.Name{Of: c.oat, Name: "O-1"}, message.Mass(6*bag))
	if !reflect.DeepEqual(open[0].Why, message.Of("slip.more-left-notes", left, message.Whole(3))) {
		t.Errorf("says %s", open[0].Why)
	}
	if w := open[0].Choices[1].What; w.String() != "choice.more-came(bags(5))" {
		t.Errorf("offers %s", w)
	}
	for _, b := range open[0].Settling(open[0].Choices[1], "counted", "") {
		c.help.write(b)
	}
	if l, _ := c.help.state.View().LotOf(c.oat); l.BagsIn != 11_000 || len(openOf(c.help, farm.MoreThanCame)) > 0 {
		t.Errorf("more came: %v bags in, %+v", l.BagsIn, openOf(c.help, farm.MoreThanCame))
	}
}

// What was said to be as written is not asked about again, nor in doubt; a
// further fill is, alone. What is amended since is in doubt again.
func TestAYesIsToOneFill(t *testing.T) {
	c := setUp(t)
	c.help.write(&entry.BagsIn{Lot: c.oat, Bags: 6000})
	c.took(6)
	asked, first := c.took(1)
	for _, b := range asked[0].Settling(asked[0].Choices[0], "", "") {
		c.help.write(b)
	}
	if open := openOf(c.help, farm.MoreThanCame); len(open) > 0 {
		t.Fatalf("said yes, in doubt %+v", open)
	}
	_, second := c.took(1)
	if open := openOf(c.help, farm.MoreThanCame); len(open) != 1 || !slices.Equal(open[0].Entries, []entry.ID{second}) {
		t.Fatalf("in doubt %+v, want the further fill alone", open)
	}
	c.help.write(&entry.Amended{Entry: first, Why: "two", Body: c.pour(2, 0)})
	if open := openOf(c.help, farm.MoreThanCame); len(open) != 1 || !slices.Equal(open[0].Entries, []entry.ID{first, second}) {
		t.Errorf("in doubt %+v, want both", open)
	}
}

// What is let out again does not make less of what was poured before, and may be
// poured once more.
func TestWhatIsLetOutLiftsNoDoubtOfWhatCame(t *testing.T) {
	c := setUp(t)
	c.help.write(&entry.BagsIn{Lot: c.oat, Bags: 6000})
	c.took(6)
	_, first := c.took(4)
	*c.help.wall += 10 * 60_000
	c.help.write(&entry.Drained{Box: c.grain, Mass: 300 * pound})
	c.took(2) // 300 lb are out
	_, second := c.took(1)
	open := openOf(c.help, farm.MoreThanCame)
	if len(open) != 1 || !slices.Equal(open[0].Entries, []entry.ID{first, second}) {
		t.Fatalf("in doubt %+v, want the second fill and the last", open)
	}
	if w := open[0].Choices[1].What; w.String() != "choice.more-came(bags(4))" {
		t.Errorf("offers %s", w)
	}
}

// Fills that were written before the bags are named as soon as bags are written:
// that asks nothing, as more may come, and is in doubt until they do.
func TestFillsBeforeTheBagsAreInDoubt(t *testing.T) {
	c := setUp(t)
	_, id := c.took(3)
	c.help.silent(&entry.BagsIn{Lot: c.oat, Bags: 1000})
	c.help.write(&entry.Drained{Box: c.grain, All: true})
	if open := openOf(c.help, farm.MoreThanCame); len(open) != 1 || !slices.Equal(open[0].Entries, []entry.ID{id}) {
		t.Errorf("in doubt %+v, want the fill", open)
	}
	c.help.silent(&entry.BagsIn{Lot: c.oat, Bags: 2000})
	if open := openOf(c.help, farm.MoreThanCame); len(open) > 0 {
		t.Errorf("all came, in doubt %+v", open)
	}
}
