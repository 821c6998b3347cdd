package replica

import (
	"errors"
	"testing"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/token"
)

// A device may call so often at once, and then so often a second; another is
// not held up by it.
func TestGatePaces(t *testing.T) {
	now := time.Unix(1_780_000_000, 0)
	g := newLimiter[token.Caller](4, 1000)
	comes := func(n byte) bool {
		leave, err := g.enter(token.Caller{Device: entry.DeviceID{n}}, now)
		if err != nil && !errors.Is(err, exchange.ErrBusy) {
			t.Fatal(err)
		}
		if err == nil {
			leave()
		}
		return err == nil
	}
	let := func(n byte, calls int) (in int) {
		for range calls {
			if comes(n) {
				in++
			}
		}
		return in
	}
	if in := let(1, exchange.CallsBurst+100); in != exchange.CallsBurst {
		t.Errorf("%d calls at once are let in", in)
	}
	now = now.Add(2 * time.Second)
	if in := let(1, 1000); in != 2*exchange.CallsPerSecond {
		t.Errorf("%d calls are let in two seconds later", in)
	}
	if !comes(2) {
		t.Error("another device is held up")
	}
}

// What a limiter remembers of callers is bounded by those that are busy.
func TestGateForgets(t *testing.T) {
	now := time.Unix(1_780_000_000, 0)
	g := newLimiter[token.Caller](4, 1000)
	for n := range 100_000 {
		now = now.Add(10 * time.Millisecond)
		leave, err := g.enter(token.Caller{Device: entry.DeviceID{byte(n), byte(n >> 8), byte(n >> 16)}}, now)
		if err != nil {
			t.Fatal(err)
		}
		leave()
	}
	if len(g.pace) > 2*paced || len(g.open) > 0 {
		t.Errorf("%d callers are remembered, %d are open", len(g.pace), len(g.open))
	}
}
