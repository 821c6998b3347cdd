package client_test

import (
	"context"
	"crypto/ed25519"
	"errors"
	"net"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/client/syncer"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// meeting has a device meet others, and gives the address.
func meeting(t *testing.T, c *device) string {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	at, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- c.Meet(ctx, "127.0.0.1:0", func(a string) { at <- a }) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil && !errors.Is(err, client.ErrClosed) {
			t.Errorf("meet ended with %v", err)
		}
	})
	select {
	case a := <-at:
		return a
	case err := <-ended:
		ended <- nil
		t.Fatal(err)
		return ""
	}
}

func syncWith(t *testing.T, c *device, at string) client.SyncResult {
	t.Helper()
	res, err := c.SyncWith(within(t), at)
	if err != nil {
		t.Fatalf("sync with: %v", err)
	}
	return res
}

// joinAway has a new device join a farm that has no server.
func joinAway(t *testing.T, invite string) *device {
	t.Helper()
	c := open(t, t.TempDir())
	if j, err := c.Join(within(t), invite, "phone"); err != nil || j.Away != nil {
		t.Fatalf("join: %v, away: %v", err, j.Away)
	}
	return c
}

// With no server at all, devices found, invite, join and end up equal over one
// hotspot.
func TestMeetWithoutServer(t *testing.T) {
	ada := found(t, "")
	ben := joinAway(t, invited(t, ada, "Ben", entry.Operator))
	note(t, ben, "noted before the record was here")
	note(t, ada, "noted at the house")
	at := meeting(t, ada)
	if res := syncWith(t, ben, at); res.Received != 5 || res.Waits {
		t.Errorf("first meeting: %+v", res)
	}
	sameEverywhere(t, ada, ben)
	if ben.Pending() != 0 {
		t.Errorf("Ben has %d pending, though Ada said that she stored them", ben.Pending())
	}
	if d, ok := deviceNamed(ada, "phone"); !ok || d != ben.Device() {
		t.Error("Ada does not know Ben's phone")
	}
	note(t, ada, "more")
	note(t, ben, "more from Ben")
	if res := syncWith(t, ben, at); res.RoundTrips != 1 || res.Sent != 1 || res.Received != 1 {
		t.Errorf("second meeting, one round trip: %+v", res)
	}
	sameEverywhere(t, ada, ben)
	if ada.Pending() != 1 { // Ben has said that he holds what he took the first time
		t.Errorf("Ada has %d pending, not the one of the second meeting", ada.Pending())
	}
}

// A phone that passed the tractor carries its entries home.
func TestEntriesTravelThroughAnyone(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben, cleo := join(t, ada, "Ben", entry.Operator), join(t, ada, "Cleo", entry.Helper)
	sync(t, ben)
	note(t, ben, "from the hill")
	syncWith(t, cleo, meeting(t, ben))
	sync(t, cleo)
	sync(t, ada)
	if got := notes(t, ada); got["from the hill"] != 1 {
		t.Errorf("Ada holds %v", got)
	}
}

// Two devices of whom only one knows the other still meet: either way round.
func TestMeetOneThatJoinedLater(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator) // knows nothing of what comes after
	cleo := join(t, ada, "Cleo", entry.Owner)
	sync(t, cleo)
	dan := join(t, cleo, "Dan", entry.Helper) // invited by one whom Ben does not know
	sync(t, dan)
	note(t, dan, "hello")
	t.Run("the later one calls", func(t *testing.T) {
		syncWith(t, dan, meeting(t, ben))
		if got := notes(t, ben); got["hello"] != 1 {
			t.Errorf("Ben holds %v", got)
		}
		sameEverywhere(t, ben, dan)
	})
	eli := join(t, cleo, "Eli", entry.Helper)
	sync(t, eli)
	note(t, ben, "and to you")
	t.Run("the earlier one calls", func(t *testing.T) {
		syncWith(t, ben, meeting(t, eli))
		sameEverywhere(t, ben, eli)
	})
}

// A stranger at the address is given nothing, whatever certificate it shows.
func TestMeetStranger(t *testing.T) {
	ada, eve := found(t, ""), found(t, "")
	note(t, ada, "ours")
	if _, err := ada.SyncWith(within(t), meeting(t, eve)); !errors.Is(err, exchange.ErrFarm) {
		t.Errorf("another farm's device: %v", err)
	}
	if got := notes(t, eve); len(got) != 0 {
		t.Errorf("Eve got %v", got)
	}
	h := newHouse(t)
	if _, err := ada.SyncWith(within(t), h.Listen); !errors.Is(err, syncer.ErrUnknownPeer) {
		t.Errorf("a server in a device's place: %v", err)
	}
}

// One that claims to be a device of the farm, under another key, is refused.
func TestMeetImpostor(t *testing.T) {
	ada := found(t, "")
	ben := joinAway(t, invited(t, ada, "Ben", entry.Operator))
	syncWith(t, ben, meeting(t, ada))
	impostor, err := cert.Make(ed25519.NewKeyFromSeed(make([]byte, 32)), ada.Device().String(), time.Now())
	if err != nil {
		t.Fatal(err)
	}
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer lis.Close()
	go handshakes(lis, impostor)
	if _, err := ben.SyncWith(within(t), lis.Addr().String()); !errors.Is(err, client.ErrPin) {
		t.Errorf("an impostor: %v", err)
	}
}

func TestMeetStopped(t *testing.T) {
	ada := found(t, "")
	ben := joinAway(t, invited(t, ada, "Ben", entry.Operator))
	adaAt, benAt := meeting(t, ada), meeting(t, ben)
	syncWith(t, ben, adaAt)
	last := lastOf(ada, ben.Device())
	if _, err := ada.Record(within(t), entry.ID{}, &entry.DeviceStopped{Last: last, Why: "lost"}); err != nil {
		t.Fatal(err)
	}
	note(t, ben, "after the stop")
	if _, err := ben.SyncWith(within(t), adaAt); !errors.Is(err, exchange.ErrStopped) {
		t.Errorf("a stopped device calls: %v", err)
	}
	if _, err := ada.SyncWith(within(t), benAt); !errors.Is(err, exchange.ErrStopped) {
		t.Errorf("a stopped device is called: %v", err)
	}
	if got := notes(t, ada); len(got) != 0 {
		t.Errorf("Ada took %v", got)
	}
}

func TestMeetNobody(t *testing.T) {
	ada := found(t, "")
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	lis.Close()
	if _, err := ada.SyncWith(within(t), lis.Addr().String()); !errors.Is(err, client.ErrAway) {
		t.Errorf("nobody there: %v", err)
	}
	if _, err := ada.SyncWith(within(t), "just words"); !errors.Is(err, client.ErrAddress) {
		t.Errorf("no address: %v", err)
	}
}

// lastOf is the last entry of a device that another holds.
func lastOf(c *device, d entry.DeviceID) entry.Mark {
	for _, o := range c.View().Devices {
		if o.ID == d {
			return o.Last
		}
	}
	return entry.Mark{Log: d.Log()}
}
