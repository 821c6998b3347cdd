package logtest

import (
	"errors"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// fork: of two branches that a copied device wrote, neither overwrites the
// other; bytes that it did not sign are no fork.
func (s suite) fork(t *testing.T) {
	c := NewCrew(1)
	one, two := s.farm(t, "one", c), s.farm(t, "two", c)
	d := c.Devices[0].ID
	c.Join(t, one, 0)
	c.Write(t, one, 0, Notes(5)...)
	Must(two.Take(Runs(t, one, d, 1, exchange.MaxRun)))(t)
	c.Write(t, one, 0, Note("written here"))
	c.Write(t, two, 0, Note("written on the copy"), Note("and more"))
	before := All(t, one)

	forged := Runs(t, two, d, 1, exchange.MaxRun)
	forged[0].Sig[0] ^= 1
	if taken := Must(one.Take(forged))(t); len(taken.Refused) != 1 || !errors.Is(taken.Refused[0].Err, entry.ErrSignature) {
		t.Fatalf("refused %v", taken.Refused)
	}
	for _, from := range []uint64{1, 4, 7} {
		taken := Must(one.Take(Runs(t, two, d, from, exchange.MaxRun)))(t)
		var fork *chain.ForkError
		if len(taken.Refused) != 1 || !errors.As(taken.Refused[0].Err, &fork) || fork.Seq != 7 || fork.Device != d {
			t.Fatalf("from %d: refused %v", from, taken.Refused)
		}
	}
	if len(All(t, one)) != len(before) {
		t.Fatal("a branch was overwritten")
	}
}
