package logtest

import (
	"errors"
	"fmt"
	"reflect"
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
		taken := Must(one.Take(Runs(t, two, d, from, exchange.MaxRun)))(t) // also again
		var fork *chain.ForkError
		if len(taken.Refused) != 1 || !errors.As(taken.Refused[0].Err, &fork) || fork.Seq != 7 || fork.Device != d {
			t.Fatalf("from %d: refused %v", from, taken.Refused)
		}
	}
	if len(All(t, one)) != len(before) {
		t.Fatal("a branch was overwritten")
	}
}

// forkTravels: replicas that hold different branches, and one that held
// neither, come to hold both, whoever meets whom, and then have nothing more to
// say; the forked device may not write. A body that keeps no branches passes.
func (s suite) forkTravels(t *testing.T) {
	for _, c := range []forked{
		{5, 1, 2, exchange.UsualBatch}, {5, 40, 3, 300}, {0, 3, 3, 300}, {40, 30, 60, 1}, {3, 2, 2, exchange.UsualBatch},
	} {
		t.Run(fmt.Sprintf("%+v", c), func(t *testing.T) { s.forkCase(t, c) })
	}
}

// forked is how many entries two copies of a device have in common and of their
// own, and the bytes of a message.
type forked struct{ common, one, two, most int }

func (s suite) forkCase(t *testing.T, c forked) {
	crew := NewCrew(2)
	one, two, far := s.farm(t, "one", crew), s.farm(t, "two", crew), s.farm(t, "far", crew)
	if _, ok := one.(exchange.Branching); !ok {
		t.Skip("this body keeps no branches of forked logs")
	}
	d := crew.Devices[1]
	crew.Join(t, one, 1)
	if c.common > 0 {
		crew.Write(t, one, 1, Notes(c.common-1)...)
		s.level(t, one, two, c.most)
	} else {
		Must(two.Record(d.Key, d.ID, Morning+7, nil, crew.First(1)))(t)
	}
	for n := range c.one {
		crew.Write(t, one, 1, Note("%d on the one", n))
	}
	for n := range c.two {
		crew.Write(t, two, 1, Note("%d on the other", n))
	}
	crew.Join(t, far, 0)
	for range 3 {
		s.level(t, one, far, c.most)
		s.level(t, far, two, c.most)
	}
	if a, b, f := branches(one), branches(two), branches(far); len(a) != 2 || !reflect.DeepEqual(a, b) || !reflect.DeepEqual(a, f) {
		t.Fatalf("branches\n%v\n%v\n%v", a, b, f)
	}
	for _, m := range branches(one) {
		runs := Runs(t, far, m.Log.Device(), 1, exchange.MaxRun)
		if first := runs[0].First; first != uint64(c.common+1) || runs[len(runs)-1].Last() != m.Seq || runs[0].Device != d.ID {
			t.Errorf("branch from %d to %d", first, runs[len(runs)-1].Last())
		}
	}
	if _, err := one.Record(d.Key, d.ID, Morning, nil, Note("more")); !errors.Is(err, s.errs.Forked) {
		t.Errorf("recording gives %v", err)
	}
}

func branches(l Log) chain.Frontier { return l.(exchange.Branching).Branches() }

// level lets two replicas exchange until neither lacks anything of the other.
func (s suite) level(t *testing.T, a, b Log, most int) {
	t.Helper()
	for rounds := 0; ; rounds++ {
		there, _ := s.send(t, a, b, most)
		back, _ := s.send(t, b, a, most)
		if there+back == 0 {
			return
		}
		if rounds > 500 {
			t.Fatalf("they never come to an end: %v and %v", exchange.Have(a), exchange.Have(b))
		}
	}
}
