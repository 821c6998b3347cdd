package client_test

import (
	"context"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/server/housetest"
	"turnrow/sync/entry"
)

// The tests of this package run real servers over real TLS, gRPC and Pebble on
// loopback.

// patience is how long a test waits for what must come; nothing waits for it
// to pass.
const patience = 20 * time.Second

// house is a server that can be stopped, started and lost.
type house = housetest.House

func newHouse(t *testing.T) *house { return housetest.New(t, nil) }

func open(t *testing.T, home string) *device {
	t.Helper()
	return openAt(t, home, nil)
}

func openAt(t *testing.T, home string, now func() time.Time) *device {
	t.Helper()
	return deviceAt(t, home, client.Options{Now: now})
}

func within(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	t.Cleanup(cancel)
	return ctx
}

// found founds a farm, at a server where an address is given.
func found(t *testing.T, at string) *device {
	t.Helper()
	c := open(t, t.TempDir())
	f, err := c.Found(within(t), client.FoundOptions{
		Farm: "Upper Lea", Owner: "Ada", At: at, TimeZone: "Europe/Vienna", MoneySign: "$", DeviceName: "house tablet",
	})
	if err != nil || f.Away != nil {
		t.Fatalf("found: %v, away: %v", err, f.Away)
	}
	return c
}

// join invites a person and has a new device join.
func join(t *testing.T, owner *device, person string, role entry.Role) *device {
	t.Helper()
	invite := invited(t, owner, person, role)
	sync(t, owner)
	c := open(t, t.TempDir())
	j, err := c.Join(within(t), invite, person+"'s phone")
	if err != nil || j.Away != nil {
		t.Fatalf("join: %v, away: %v", err, j.Away)
	}
	if j.Waits { // a server lets in no owner
		sync(t, owner)
		sync(t, c)
	}
	return c
}

func invited(t *testing.T, owner *device, person string, role entry.Role) string {
	t.Helper()
	invite, err := owner.Invite(within(t), person, role)
	if err != nil {
		t.Fatal(err)
	}
	return invite
}

func sync(t *testing.T, c *device) client.SyncResult {
	t.Helper()
	if c.Server() == "" {
		return client.SyncResult{}
	}
	res, err := c.Sync(within(t))
	if err != nil {
		t.Fatalf("sync: %v", err)
	}
	return res
}

func note(t *testing.T, c *device, texts ...string) []entry.ID {
	t.Helper()
	var bodies []entry.Body
	for _, s := range texts {
		bodies = append(bodies, &entry.Noted{Text: s})
	}
	ids, err := c.Record(within(t), entry.ID{}, bodies...)
	if err != nil {
		t.Fatalf("record: %v", err)
	}
	return ids
}

// notes counts how often each text stands in a client's record.
func notes(t *testing.T, c *device) map[string]int {
	t.Helper()
	n := map[string]int{}
	for e, err := range c.Log() {
		if err != nil {
			t.Fatal(err)
		}
		if b, ok := e.Body.(*entry.Noted); ok {
			n[b.Text]++
		}
	}
	return n
}

// sameEverywhere fails unless all hold the same entries and state.
func sameEverywhere(t *testing.T, cs ...*device) {
	t.Helper()
	first := cs[0].Digest()
	for i, c := range cs[1:] {
		if d := c.Digest(); d.Sum != first.Sum || d.Entries != first.Entries {
			t.Errorf("replica %d holds %d entries with digest %x, replica 0 %d with %x", i+1, d.Entries, d.Sum[:4], first.Entries, first.Sum[:4])
		}
	}
}
