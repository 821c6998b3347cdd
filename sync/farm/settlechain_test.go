package farm_test

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Settlements of roles that name those before them, which anybody can write, are
// each worked out once: else some forty would take longer than a season.
func TestSettlementsOfSettlementsCostNoMoreThanTheirNumber(t *testing.T) {
	c := setUp(t)
	a := c.own.write(&entry.MemberAdded{Name: "Dov", Role: entry.Helper})
	b := c.own.write(&entry.MemberChanged{Member: a, Role: entry.Operator})
	meet(c.own, c.help)
	for range 80 {
		a, b = b, c.help.write(&entry.Settled{Doubt: string(farm.TwoPlans), Entries: []entry.ID{a, b}, Stands: []entry.ID{b}, Why: "which"})
	}
	meet(c.own, c.help)
	if c.own.state.Digest() != c.help.state.Digest() {
		t.Error("two states of the same entries")
	}
}

// Two who settle one doubt apart, and differ, leave one doubt, which is about
// what the two of them chose; once that is settled nothing is open.
func TestWhoSettleApartLeaveOneDoubt(t *testing.T) {
	c := setUp(t)
	before := c.own.state.View().Open
	a := c.own.write(&entry.DialMoved{Box: c.grain, To: 30_000})
	b := c.op.write(&entry.DialMoved{Box: c.grain, To: 27_000})
	meet(c.own, c.op)
	mine := c.own.write(&entry.Settled{Doubt: string(farm.TwoSettings), Entries: []entry.ID{a, b}, Dial: entry.Some(units.Dial(30_000))})
	yours := c.op.write(&entry.Settled{Doubt: string(farm.TwoSettings), Entries: []entry.ID{a, b}, Dial: entry.Some(units.Dial(28_000))})
	meet(c.own, c.op)
	var open []farm.Doubt
	for d := range c.op.state.View().Doubts() {
		if !d.Settled && d.Kind == farm.TwoSettings {
			open = append(open, d)
		}
	}
	if len(open) != 1 || !slices.Contains(open[0].Entries, mine) || !slices.Contains(open[0].Entries, yours) {
		t.Fatalf("open: %+v", open)
	}
	c.op.write(&entry.Settled{Doubt: string(farm.TwoSettings), Entries: open[0].Entries, Dial: entry.Some(units.Dial(28_000))})
	if n := c.op.state.View().Open; n != before {
		t.Errorf("%d doubts, before %d", n, before)
	}
}

// Who leaves a reading out where another said, apart from it, that the counter was
// set back, does not overrule that in silence: one doubt is open, and its choice
// settles it.
func TestWhoLeavesAReadingOutOverrulesNobody(t *testing.T) {
	for _, tt := range []struct{ mine, yours string }{
		{entry.SetBack, "instead"}, {entry.SetBack, "instead-2"}, {entry.AsWritten, "instead-2"}, {entry.SetBack, entry.AsWritten},
	} {
		t.Run(tt.mine+" and "+tt.yours, func(t *testing.T) {
			c := counted(t)
			c.own.write(c.reads(215_000))
			meet(c.own, c.op)
			c.own.settle(openOf(c.own, farm.CounterBack)[0], tt.mine)
			c.op.settle(openOf(c.op, farm.CounterBack)[0], tt.yours)
			meet(c.own, c.op)
			open := openOf(c.op, farm.CounterBack)
			if len(open) != 1 {
				t.Fatalf("open: %+v", open)
			}
			c.op.settle(open[0], open[0].Choices[0].Word)
			if open := openOf(c.op, farm.CounterBack); len(open) != 0 {
				t.Errorf("settled, and open is: %+v", open)
			}
		})
	}
}
