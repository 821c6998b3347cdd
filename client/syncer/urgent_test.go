package syncer_test

import (
	"context"
	"errors"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"turnrow/client/syncer"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// hold is a new entry here that must not wait.
func (w *world) hold() {
	w.mu.Lock()
	w.urgent = true
	w.mu.Unlock()
	w.hurry <- struct{}{}
	w.note()
}

func newUrgentWorld(result func(n int) error) *world {
	w := newWorld(result)
	w.hurry = make(chan struct{}, 1)
	w.Loop.Hurry = w.hurry
	w.Loop.Urgent = func() bool {
		w.mu.Lock()
		defer w.mu.Unlock()
		return w.urgent
	}
	return w
}

// A hold cuts every wait short: the one after failures, and the one that the
// other asked for. While it is here alone, no wait is long.
func TestAHoldWaitsForNothing(t *testing.T) {
	for name, err := range map[string]error{"away": errAway, "busy": &exchange.Failure{Err: exchange.ErrBusy, Retry: 4_000}} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				w := newUrgentWorld(always(err))
				w.start(t)
				pass(10 * time.Minute)
				before := len(w.tried())
				w.hold()
				if n := len(w.tried()) - before; n != 1 {
					t.Fatalf("%d tries when the hold was raised", n)
				}
				pass(time.Minute)
				if n := len(w.tried()) - before; n < 12 || n > 32 {
					t.Errorf("%d tries in the minute after it", n)
				}
			})
		})
	}
}

// An exchange that hangs when a hold is raised is broken off; one that moves is
// let end. Either way the next begins at once.
func TestAHoldDoesNotWaitForAnExchange(t *testing.T) {
	for name, takes := range map[string]time.Duration{"hangs": time.Hour, "moves": time.Second} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				w := newUrgentWorld(always(nil))
				inner, broken := w.Loop.Sync, false
				w.Loop.Sync = func(ctx context.Context) error {
					err := inner(ctx)
					if len(w.tried()) > 1 {
						w.mu.Lock()
						w.urgent = false // it took the hold along
						w.mu.Unlock()
						return err
					}
					select {
					case <-time.After(takes):
					case <-ctx.Done():
						broken, err = true, ctx.Err()
					}
					return err
				}
				w.start(t)
				w.hold()
				pass(2100 * time.Millisecond)
				if got := w.tried(); len(got) != 2 || got[1] > 2*time.Second || broken != (takes > time.Minute) {
					t.Errorf("tried at %v, broken off: %v", got, broken)
				}
			})
		})
	}
}

// What this device wrote goes in a message of its own, before all that it would
// pass on; otherwise one message has both.
func TestOwnFirst(t *testing.T) {
	ada, ben := newWriter(1), newWriter(2)
	here := founded(t, ada)
	write(t, here, ben, &entry.DeviceEnrolled{Invite: ben.public(), Key: ben.public(), Name: "Ben's phone"})
	first := func(own bool) (devices []entry.DeviceID) {
		there := store(t, ada.farm())
		s := syncer.Session{Replica: here, Own: ada.device, OwnFirst: own, Memory: syncer.Memory{Generation: there.Generation()}}
		s.Peer = peer{Replica: there, before: func(req *exchange.Request) error {
			for i := range req.Runs {
				devices = append(devices, req.Runs[i].Device)
			}
			return errAway
		}}
		if _, err := s.CatchUp(t.Context()); !errors.Is(err, errAway) {
			t.Fatal(err)
		}
		return devices
	}
	if got := first(true); !slices.Equal(got, []entry.DeviceID{ada.device}) {
		t.Errorf("the first message has the logs of %v", got)
	}
	if got := first(false); len(got) != 2 {
		t.Errorf("without, the first message has the logs of %v", got)
	}
}
