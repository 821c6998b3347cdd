package farm_test

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Who has seen a hold is told of each person once, as they first said so. It makes nothing ready and nothing doubtful.
func TestWhoHasSeenAHold(t *testing.T) {
	c := setUp(t)
	hold := c.help.write(&entry.HoldRaised{Drill: c.drill, Why: "a pin is missing"})
	c.join(c.own, 4, "Gil", entry.Viewer) // who is not waited for
	c.merge()
	c.seen(hold, nil)
	first := c.op.write(&entry.HoldSeen{Holds: []entry.ID{hold, c.drill, hold}}) // named twice, and what is no hold
	c.op.write(&entry.HoldSeen{Holds: []entry.ID{hold}})
	c.help.write(&entry.HoldSeen{Holds: []entry.ID{hold}}) // it is their own
	c.merge()
	owner := c.own.write(&entry.HoldSeen{Holds: []entry.ID{hold}})
	c.merge()
	c.seen(hold, []entry.ID{first, owner})
	told(t, c.own, first, `saw-holds(3)`)
	told(t, c.own, owner, `noted(saw-hold, "a pin is missing")`)
	for d := range c.own.state.View().Doubts() {
		t.Errorf("in doubt: %s", d.Kind)
	}
	if h := c.hitch(c.own); h.Ready || len(h.Holds) != 1 || h.Holds[0].Seen[0].Wall <= h.Holds[0].Wall {
		t.Errorf("hitch %+v", h)
	}
	var waits []string
	for _, m := range c.own.state.View().NotSeen(&farm.Hold{By: c.person(c.own)}) {
		waits = append(waits, m.Name)
	}
	if !slices.Equal(waits, []string{"Ben", "Cleo"}) {
		t.Errorf("%v have not seen a hold of Ada's", waits)
	}
	if h := c.hitch(c.own); len(c.own.state.View().NotSeen(&h.Holds[0])) > 0 {
		t.Errorf("all have seen it, not so: %+v", c.own.state.View().NotSeen(&h.Holds[0]))
	}
	released := c.own.write(&entry.HoldReleased{Drill: c.drill, Holds: []entry.ID{hold}, Why: "found it"})
	c.merge()
	if h := c.hitch(c.op); len(h.Released) != 1 || h.Released[0].Release != released || len(h.Released[0].Seen) != 2 {
		t.Errorf("a hold that is released is no longer seen by anybody: %+v", h.Released)
	}
}

// A person who leaves has seen what they saw; who writes on another's device is
// told with it.
func TestWhoSawAHoldOnWhoseDevice(t *testing.T) {
	c := setUp(t)
	hold := c.own.write(&entry.HoldRaised{Why: "hose leaks"})
	c.merge()
	ben, _ := c.own.state.View().MemberNamed("Ben")
	c.help.by = ben.ID
	cleos := c.help.write(&entry.HoldSeen{Holds: []entry.ID{hold}})
	c.merge()
	c.seen(hold, []entry.ID{cleos})
	c.own.write(&entry.MemberStopped{Member: ben.ID, Why: "gone home"})
	c.merge()
	c.seen(hold, []entry.ID{cleos})
	if by := c.hitch(c.op).Holds[0].Seen[0]; by.Person != ben.ID || by.On.Device == "" {
		t.Errorf("seen by %+v, want Ben on the helper's device", by)
	}
}

// seen wants the entries by which a hold is seen to be such, everywhere.
func (c *crew) seen(hold entry.ID, want []entry.ID) {
	c.own.t.Helper()
	for _, p := range []*phone{c.own, c.op, c.help} {
		h := c.hitch(p)
		i := slices.IndexFunc(h.Holds, func(o farm.Hold) bool { return o.Entry == hold })
		var got []entry.ID
		for _, by := range h.Holds[i].Seen {
			got = append(got, by.Entry)
		}
		if !slices.Equal(got, want) {
			c.own.t.Errorf("%s: seen by %v, want %v", p.head.Log, got, want)
		}
	}
	if d := c.own.state.Digest(); d != c.op.state.Digest() || d != c.help.state.Digest() {
		c.own.t.Error("they differ")
	}
}
