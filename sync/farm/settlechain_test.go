package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
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
