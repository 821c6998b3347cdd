package client_test

import (
	"errors"
	"maps"
	"os"
	"path/filepath"
	gosync "sync"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// Found, invite, join, exchange both ways: three devices and the server end up
// equal, and the usual catch-up is one round trip.
func TestADayWithAServer(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator)
	cleo := join(t, ada, "Cleo", entry.Helper)
	if d, ok := deviceNamed(ben, "Ben's phone"); !ok || d != ben.Device() {
		t.Errorf("Ben's own record does not name his phone")
	}
	for _, c := range []*device{ada, ben, cleo} {
		sync(t, c)
	}
	note(t, ben, "gate to the bench is open", "drill by the barn")
	note(t, cleo, "rain by four")
	if got := ben.Pending(); got != 2 {
		t.Errorf("Ben has %d pending, not 2", got)
	}
	if res := sync(t, cleo); res.Sent != 1 || res.Received != 0 || res.RoundTrips != 1 {
		t.Errorf("Cleo's exchange: %+v", res)
	}
	res := sync(t, ben)
	if res.Sent != 2 || res.Received != 1 || res.RoundTrips != 1 || res.BytesOut == 0 || res.BytesIn == 0 {
		t.Errorf("Ben's exchange, both ways in one round trip: %+v", res)
	}
	if ben.Pending() != 0 {
		t.Errorf("Ben has %d pending after the exchange", ben.Pending())
	}
	sync(t, ada)
	sync(t, cleo)
	sameEverywhere(t, ada, ben, cleo)
	want := map[string]int{"gate to the bench is open": 1, "drill by the barn": 1, "rain by four": 1}
	if got := notes(t, ada); !maps.Equal(got, want) {
		t.Errorf("Ada holds %v", got)
	}
	farms, err := h.Server.Farms()
	if err != nil || len(farms) != 1 || farms[0].Digest != ada.Digest().Sum || farms[0].Entries != ada.Digest().Entries || farms[0].Name != "Upper Lea" {
		t.Errorf("the server holds %+v (%v)", farms, err)
	}
	if res := sync(t, ada); res.Sent+res.Received != 0 || res.RoundTrips != 1 {
		t.Errorf("with nothing missing: %+v", res)
	}
}

func deviceNamed(c *device, name string) (entry.DeviceID, bool) {
	for _, d := range c.View().Devices {
		if d.Name == name {
			return d.ID, true
		}
	}
	return entry.DeviceID{}, false
}

// With the server away everything goes on, and is told as pending across
// restarts; a server that is back, at the same address, gets it all.
func TestServerAway(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	home := t.TempDir()
	ben := open(t, home)
	if _, err := ben.Join(within(t), inviteAndSync(t, ada, "Ben"), "phone"); err != nil {
		t.Fatal(err)
	}
	h.Stop()
	note(t, ben, "one", "two", "three")
	if _, err := ben.Sync(within(t)); !errors.Is(err, client.ErrAway) {
		t.Errorf("with the server away: %v", err)
	}
	if got := ben.Pending(); got != 3 {
		t.Errorf("%d pending, not 3", got)
	}
	if err := ben.Close(); err != nil {
		t.Fatal(err)
	}
	ben = open(t, home)
	if got := ben.Pending(); got != 3 {
		t.Errorf("after a restart %d pending, not 3", got)
	}
	h.Start()
	if res := sync(t, ben); res.Sent != 3 || res.RoundTrips != 1 {
		t.Errorf("with the server back: %+v", res)
	}
	if got := ben.Pending(); got != 0 {
		t.Errorf("%d pending after all was sent", got)
	}
	sync(t, ada)
	sameEverywhere(t, ada, ben)
}

func inviteAndSync(t *testing.T, owner *device, person string) string {
	t.Helper()
	invite := invited(t, owner, person, entry.Operator)
	sync(t, owner)
	return invite
}

// A server that lost its store says so by its generation. What it held counts
// as pending again; the owner founds the farm there anew, everything is
// offered again, and nothing doubles.
func TestServerRebuiltFromNothing(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator)
	note(t, ben, "one", "two")
	sync(t, ben)
	sync(t, ada)
	h.Stop()
	if err := os.RemoveAll(filepath.Join(h.Data, "store")); err != nil {
		t.Fatal(err)
	}
	h.Start()
	if _, err := ben.Sync(within(t)); !errors.Is(err, exchange.ErrFarm) {
		t.Errorf("a server that lost the farm: %v", err)
	}
	if ben.Pending() != 3 {
		t.Errorf("%d pending once the server had lost them, not Ben's 3", ben.Pending())
	}
	// Ben is no owner of the farm's first device; any device with a code will do.
	if res, err := ben.At(within(t), h.FoundingAddress(), client.AtOptions{}); err != nil || res.Sent == 0 {
		t.Fatalf("founding the farm anew: %+v, %v", res, err)
	}
	if ben.Pending() != 0 {
		t.Errorf("%d pending after the farm was founded anew", ben.Pending())
	}
	note(t, ada, "three")
	if res := sync(t, ada); !res.Anew {
		t.Errorf("Ada was not told that the server started anew: %+v", res)
	}
	sync(t, ben)
	sameEverywhere(t, ada, ben)
	if got, want := notes(t, ada), map[string]int{"one": 1, "two": 1, "three": 1}; !maps.Equal(got, want) {
		t.Errorf("Ada holds %v", got)
	}
}

func TestFarmThatMeetsAServerLater(t *testing.T) {
	ada := found(t, "")
	note(t, ada, "alone")
	if _, err := ada.Sync(within(t)); !errors.Is(err, client.ErrNoServer) {
		t.Errorf("without a server: %v", err)
	}
	h := newHouse(t)
	if res, err := ada.At(within(t), h.FoundingAddress(), client.AtOptions{}); err != nil || res.Sent != 3 || !res.Porter {
		t.Errorf("%+v, %v", res, err)
	}
	if ada.Pending() != 0 {
		t.Errorf("%d pending", ada.Pending())
	}
}

// When a device last met another holds across restarts, with why the latest
// try failed beside it.
func TestMet(t *testing.T) {
	h := newHouse(t)
	home := t.TempDir()
	clock := time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)
	if at, err := found(t, "").Met(); !at.IsZero() || err != nil {
		t.Errorf("before anything: %v, %v", at, err)
	}
	c := openAt(t, home, func() time.Time { return clock })
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Ada", At: h.FoundingAddress()}); err != nil {
		t.Fatal(err)
	}
	met := clock
	clock = clock.Add(time.Hour)
	h.Stop()
	if _, err := c.Sync(within(t)); !errors.Is(err, client.ErrAway) {
		t.Fatal(err)
	}
	if at, err := c.Met(); !at.Equal(met) || !errors.Is(err, client.ErrAway) {
		t.Errorf("after a try that failed: %v, %v", at, err)
	}
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	if at, err := open(t, home).Met(); !at.Equal(met) || err != nil {
		t.Errorf("after a restart: %v, %v", at, err)
	}
}

// A phone whose clock is an hour off exchanges all the same: the refusal
// carries the server's time, and the phone tries again by it.
func TestClockAnHourOff(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	for _, off := range []time.Duration{-time.Hour, time.Hour} {
		c := openAt(t, t.TempDir(), func() time.Time { return time.Now().Add(off) })
		j, err := c.Join(within(t), inviteAndSync(t, ada, "Ben"), "phone "+off.String())
		if err != nil || j.Away != nil {
			t.Fatalf("%s off: %v, %v", off, err, j.Away)
		}
		note(t, c, off.String())
		if res := sync(t, c); res.Sent != 1 {
			t.Errorf("%s off: %+v", off, res)
		}
	}
}

// Many devices that record and exchange at once lose nothing and double
// nothing.
func TestManyAtOnce(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	crew := []*device{ada}
	for _, p := range []string{"Ben", "Cleo", "Dan"} {
		crew = append(crew, join(t, ada, p, entry.Operator))
	}
	var all gosync.WaitGroup
	for i, c := range crew {
		for range 3 {
			all.Go(func() {
				for range 10 {
					note(t, c, string(rune('a'+i)))
					if _, err := c.Sync(within(t)); err != nil && !errors.Is(err, exchange.ErrBusy) {
						t.Error(err)
					}
				}
			})
		}
	}
	all.Wait()
	for range 2 {
		for _, c := range crew {
			sync(t, c)
		}
	}
	sameEverywhere(t, crew...)
	if got, want := notes(t, ada), map[string]int{"a": 30, "b": 30, "c": 30, "d": 30}; !maps.Equal(got, want) {
		t.Errorf("Ada holds %v", got)
	}
}

// Two farms on one server never see each other's entries.
func TestFarmsApart(t *testing.T) {
	h := newHouse(t)
	ada, eve := found(t, h.FoundingAddress()), found(t, h.FoundingAddress())
	note(t, ada, "ours")
	note(t, eve, "theirs")
	sync(t, ada)
	sync(t, eve)
	sync(t, ada)
	if got := notes(t, ada); got["theirs"] != 0 {
		t.Errorf("Ada holds %v", got)
	}
	farms, err := h.Server.Farms()
	if err != nil || len(farms) != 2 {
		t.Errorf("the server holds %+v (%v)", farms, err)
	}
}
