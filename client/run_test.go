package client_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// running has a client exchange in the background until the test ends.
func running(t *testing.T, c *device) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- c.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("run ended with %v", err)
		}
	})
}

// sees waits until a client's farm is as it should be.
func sees(t *testing.T, c *device, what string, is func(*farm.View) bool) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	for v := range c.Changes(ctx) {
		if is(v) {
			return
		}
	}
	t.Fatalf("%s: did not come", what)
}

func entries(n int) func(*farm.View) bool {
	return func(v *farm.View) bool { return v.Entries >= n }
}

// What one device records in the background shows on another, without anybody
// asking for it; also once the server has been away meanwhile.
func TestRunCarriesChanges(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator)
	running(t, ada)
	running(t, ben)
	sees(t, ada, "Ben's enrolment", entries(7))
	note(t, ben, "gate open")
	sees(t, ada, "Ben's note", entries(8))
	note(t, ada, "shut it")
	sees(t, ben, "Ada's answer", entries(9))
	h.Stop()
	note(t, ben, "while the server is away")
	if got := ben.Pending(); got != 1 {
		t.Errorf("%d pending", got)
	}
	h.Start()
	sees(t, ada, "what was noted while the server was away", entries(10))
	sameEverywhere(t, ada, ben)
}

func TestRunWithNothingToFollow(t *testing.T) {
	if f, err := open(t, t.TempDir()).Home.Farm(); f != nil || !errors.Is(err, client.ErrNoFarm) {
		t.Errorf("without a farm: %v", err)
	}
	if err := found(t, "").Run(within(t)); !errors.Is(err, client.ErrNoServer) {
		t.Errorf("without a server: %v", err)
	}
}

// A device that is stopped hears it at once, and gets nothing any more.
func TestRunOfAStoppedDevice(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator)
	sync(t, ada)
	running(t, ben)
	sees(t, ben, "his own enrolment", entries(7))
	last := lastOf(ada, ben.Device())
	if _, err := ada.Record(within(t), entry.ID{}, &entry.DeviceStopped{Last: last, Why: "lost"}, &entry.Noted{Text: "secret"}); err != nil {
		t.Fatal(err)
	}
	sync(t, ada)
	deadline := time.Now().Add(patience)
	for _, err := ben.Sync(within(t)); err == nil; _, err = ben.Sync(within(t)) {
		if time.Now().After(deadline) {
			t.Fatal("a stopped device goes on exchanging")
		}
	}
	if got := notes(t, ben); len(got) != 0 {
		t.Errorf("Ben got %v", got)
	}
}
