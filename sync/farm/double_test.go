package farm_test

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// many is a crew of whom two wrote n fills twice, half an hour between one and
// the next, and the doubts of that.
func many(t *testing.T, n int) (*crew, []farm.Doubt) {
	c := setUp(t)
	c.merge()
	for i := range n {
		*c.own.wall += 30 * 60_000
		fill := &entry.Filled{Box: c.grain, Lot: c.oat, Mass: units.Mass(i+1) * 1_000_000}
		c.op.write(fill)
		c.help.write(fill)
	}
	c.merge()
	return c, slices.Collect(c.op.state.View().Doubts())
}

// Where very many fills were written twice, all are told, in their order, and
// of the first all that was written; who settles one far down settles just that.
func TestVeryManyDoubles(t *testing.T) {
	const n, far = 700, 650
	c, before := many(t, n)
	if v := c.op.state.View(); len(before) != n || v.Open != n {
		t.Fatalf("%d doubts, %d open, of %d fills written twice", len(before), v.Open, n)
	}
	for i, d := range before {
		ids := []entry.ID{{Log: c.op.head.Log, Seq: before[0].Entries[0].Seq + uint64(i)}, {Log: c.help.head.Log, Seq: before[0].Entries[1].Seq + uint64(i)}}
		if d.Kind != farm.DoubleEntry || !slices.Equal(d.Entries, ids) || d.About.String() != "box(grain)" || d.Settled {
			t.Fatalf("doubt %d: %+v", i, d)
		}
		choices, what := 3, message.Semicolons
		if i >= 500 {
			choices, what = 0, "very-many-doubts"
		}
		if len(d.Choices) != choices || d.What.ID != what {
			t.Fatalf("doubt %d: %+v, want %d choices and %s", i, d, choices, what)
		}
	}
	both := before[far].Entries
	c.op.write(&entry.Settled{Doubt: string(farm.DoubleEntry), Entries: both, Stands: both, Why: "two fills"})
	after := slices.Collect(c.op.state.View().Doubts())
	if open := c.op.state.View().Open; open != n-1 || len(after) != n {
		t.Fatalf("%d open of %d after one was settled", open, len(after))
	}
	last := after[n-1]
	if !last.Settled || last.ID() != before[far].ID() || last.By.Log != c.op.head.Log {
		t.Errorf("settled: %+v", last)
	}
	for i, d := range slices.Delete(slices.Clone(before), far, far+1) {
		if after[i].ID() != d.ID() || after[i].Settled {
			t.Fatalf("doubt %d is %+v, was %+v", i, after[i], d)
		}
	}
	if again := reloaded(t, c.op.state); again.Digest() != c.op.state.Digest() {
		t.Error("another digest once saved and read again")
	}
}

// Who asks for only the first doubts is not given more.
func TestDoubtsCanBeLeftOff(t *testing.T) {
	c, all := many(t, 520)
	for _, n := range []int{1, 500, 510, 520} {
		var got []string
		for d := range c.op.state.View().Doubts() {
			if got = append(got, d.ID()); len(got) == n {
				break
			}
		}
		if len(got) != n || got[n-1] != all[n-1].ID() {
			t.Errorf("%d of %d doubts", len(got), n)
		}
	}
}

// A view does not depend on which box comes first.
func TestViewInAnyOrder(t *testing.T) {
	id, es := ofWorkload(t, 2000)
	one, other := farm.New(id), farm.New(id)
	one.Apply(es...)
	other.Apply(es...)
	backwards := func(n int, do func(int)) {
		for i := range n {
			do(n - 1 - i)
		}
	}
	other.ViewBy(backwards)
	if len(one.View().Boxes) < 2 || one.Digest() != other.Digest() {
		t.Errorf("another view, of %d boxes", len(one.View().Boxes))
	}
}

// What a doubt is said to be about does not depend on which of two amendments
// came first, also where one names a lot that nobody had the right to make.
func TestAboutDoesNotDependOnOrder(t *testing.T) {
	c := setUp(t)
	ghost := c.help.write(&entry.LotSet{Name: entry.Some("G"), Species: entry.Some("rye")}) // a helper may not
	c.merge()
	fill := c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Mass: 1_000_000})
	c.merge()
	c.own.write(&entry.Amended{Entry: fill, Why: "the rye", Body: &entry.Filled{Box: c.grain, Lot: ghost, Mass: 1_000_000}})
	c.op.write(&entry.Amended{Entry: fill, Why: "2 kg", Body: &entry.Filled{Box: c.grain, Lot: c.oat, Mass: 2_000_000}})
	c.merge()
	c.own.write(&entry.Settled{Doubt: string(farm.NoRight), Entries: []entry.ID{ghost}, Why: "known"})
	c.merge()
	about := func(p *phone) (all []string) {
		for d := range p.state.View().Doubts() {
			all = append(all, string(d.Kind)+": "+d.About.String())
		}
		return all
	}
	if a, b := about(c.own), about(c.op); !slices.Equal(a, b) || !slices.Contains(a, "no-right: lot("+ghost.Short()+")") {
		t.Errorf("%q and %q", a, b)
	}
}
