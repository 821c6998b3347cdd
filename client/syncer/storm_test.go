package syncer_test

import (
	"context"
	"log/slog"
	"math/rand/v2"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"turnrow/client/syncer"
	"turnrow/sync/exchange"
)

// storm is a server that has room for so many calls a second, and what came.
type storm struct {
	room int

	mu     sync.Mutex
	second time.Time
	came   int // calls in this second
	all    int
}

// call is served, or sent away with a hint.
func (s *storm) call(rng func(int64) int64) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.all++
	if now := time.Now().Truncate(time.Second); now != s.second {
		s.second, s.came = now, 0
	}
	if s.came++; s.came <= s.room {
		return nil
	}
	return &exchange.Failure{Err: exchange.ErrBusy, Text: "too busy now", Retry: exchange.RetryMillis + rng(exchange.RetryMillis)}
}

// When the server is back after an outage and all come at once, they are sent
// away with a hint and obey it: all are served within minutes,
// by a bounded number of calls.
func TestReconnectStorm(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const devices, room = 1000, 100
		s := &storm{room: room}
		ctx, cancel := context.WithTimeout(t.Context(), 4*time.Minute)
		defer cancel()
		var all sync.WaitGroup
		var mu sync.Mutex
		served := map[int]bool{}
		for n := range devices {
			rng := rand.New(rand.NewPCG(uint64(n), 3))
			l := &syncer.Loop{
				Sync: func(context.Context) error {
					err := s.call(rng.Int64N)
					mu.Lock()
					defer mu.Unlock()
					served[n] = served[n] || err == nil
					return err
				},
				Owes: func() bool { return false }, Changed: func() <-chan struct{} { return nil },
				Chance: rng.Int64N, Logger: slog.New(slog.DiscardHandler),
			}
			all.Go(func() { l.Run(ctx) })
		}
		all.Wait()
		t.Logf("%d calls of %d devices", s.all, devices)
		if len(served) != devices || s.all > 8*devices {
			t.Errorf("%d calls for %d devices", s.all, devices)
		}
		for n, ok := range served {
			if !ok {
				t.Errorf("device %d was never served", n)
			}
		}
	})
}
