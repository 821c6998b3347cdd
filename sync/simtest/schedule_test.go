package simtest_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"turnrow/client/syncer"
	"turnrow/sync/exchange"
	"turnrow/sync/simtest"
)

var (
	schedules = flag.Int("schedules", 0, "how many schedules to run; 0 for the usual number")
	seed      = flag.Uint64("seed", 1, "seed of the first schedule")
	tally     = flag.Bool("tally", false, "count the schedules that fail, by the rule that they break")
	keep      = flag.Int("keep", 1, "how many failing schedules to shorten and show")
)

// TestSchedules makes crews' days by chance and checks every rule on each.
func TestSchedules(t *testing.T) {
	n := *schedules
	if n == 0 {
		n = usual
	}
	check(t, uint64(n), simtest.Options{})
}

// TestSchedulesWithALiar makes days on which one device of the crew, of whatever
// role, lies about its clocks, what it had seen, its branch, and whom it lets in
// or stops. Honest devices write and come to one state throughout, and once the
// founder has stopped it the drill can be made ready again.
func TestSchedulesWithALiar(t *testing.T) {
	n := *schedules
	if n == 0 {
		n = usual / 100 // each takes ten times as long: whoever holds a forked log reads the record over as it grows
	}
	check(t, uint64(n), simtest.Options{Hostile: true, Session: session})
}

// session brings a place level with another as the client does.
func session(s *simtest.Session) error {
	memory, _ := s.Memory.(syncer.Memory)
	c := &syncer.Session{
		Replica: s.Replica, Own: s.Own, Memory: memory, Peer: peer(s.Exchange),
		Keep: func(m syncer.Memory) error { s.Memory = m; return nil },
	}
	_, err := c.CatchUp(context.Background())
	switch {
	case errors.Is(err, syncer.ErrCopied):
		return fmt.Errorf("%w: %w", simtest.ErrCopied, err)
	case errors.Is(err, syncer.ErrEndless):
		return fmt.Errorf("%w: %w", simtest.ErrEndless, err)
	}
	return err
}

type peer func(exchange.Request) (exchange.Response, error)

// Exchange calls it.
func (p peer) Exchange(_ context.Context, req exchange.Request) (exchange.Response, error) {
	return p(req)
}

// check runs schedules, and shortens and shows those that fail; with -tally it
// only says how many fail, and by which rule.
func check(t *testing.T, n uint64, o simtest.Options) {
	t.Helper()
	if *tally {
		*keep = int(n) + 1
		rules, bad := map[string]int{}, failing(t, n, o)
		for _, out := range bad {
			rules[simtest.Rule(out.Err)]++
		}
		for _, rule := range slices.Sorted(maps.Keys(rules)) {
			fmt.Printf("tally: %d of %d: %s\n", rules[rule], n, rule)
		}
		return
	}
	report(t, failing(t, n, o), o)
}

// report shortens the first failing schedules, and keeps each as a story.
func report(t *testing.T, bad []*simtest.Outcome, o simtest.Options) {
	t.Helper()
	for i, out := range bad {
		lines, err := out.Lines, out.Err
		if i < *keep {
			lines, err = simtest.Shorten(lines, err, o)
		}
		path := filepath.Join(os.TempDir(), fmt.Sprintf("schedule-%d.story", out.Seed))
		text := (&simtest.Outcome{Seed: out.Seed, Lines: lines, Err: err}).Story()
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Errorf("schedule %d (%d lines, shortened to %d in %s): %v\n%s", out.Seed, len(out.Lines), len(lines), path, err, text)
	}
}

// failing runs schedules on all processors until enough of them fail, and
// gives those, by seed. It tells of each at once, as a long run goes on.
func failing(t *testing.T, n uint64, o simtest.Options) []*simtest.Outcome {
	t.Helper()
	var next atomic.Uint64
	var mu sync.Mutex
	var bad []*simtest.Outcome
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := next.Add(1) - 1; i < n; i = next.Add(1) - 1 {
				out := run(*seed+i, o)
				if out.Err == nil {
					continue
				}
				t.Logf("schedule %d: %v", out.Seed, out.Err)
				mu.Lock()
				bad = append(bad, out)
				if len(bad) >= *keep {
					next.Store(n)
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	slices.SortFunc(bad, func(a, b *simtest.Outcome) int { return int(int64(a.Seed - b.Seed)) })
	return bad
}

// run makes a schedule. Where it panics, that is how it fails.
func run(seed uint64, o simtest.Options) (out *simtest.Outcome) {
	defer func() {
		if p := recover(); p != nil && *tally {
			out = &simtest.Outcome{Seed: seed, Err: fmt.Errorf("it panics: %v", p)}
		} else if p != nil {
			panic(p)
		}
	}()
	return simtest.Run(seed, o)
}
