package simtest_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"turnrow/sync/simtest"
)

var (
	schedules = flag.Int("schedules", 0, "how many schedules to run; 0 for the usual number")
	seed      = flag.Uint64("seed", 1, "seed of the first schedule")
	keep      = flag.Int("keep", 1, "how many failing schedules to shorten and show")
)

// TestSchedules makes crews' days by chance and checks every rule on each.
func TestSchedules(t *testing.T) {
	n := *schedules
	if n == 0 {
		n = usual
	}
	report(t, failing(uint64(n), simtest.Options{}), nil)
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
	report(t, failing(uint64(n), simtest.Options{Hostile: true}), nil)
}

// report shortens the first failing schedules, and keeps each as a story.
func report(t *testing.T, bad []*simtest.Outcome, disks func(place string) simtest.Disk) {
	t.Helper()
	for i, out := range bad {
		lines, err := out.Lines, out.Err
		if i < *keep {
			lines, err = simtest.Shorten(lines, err, disks)
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
// gives those, by seed.
func failing(n uint64, o simtest.Options) []*simtest.Outcome {
	var next atomic.Uint64
	var mu sync.Mutex
	var bad []*simtest.Outcome
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := next.Add(1) - 1; i < n; i = next.Add(1) - 1 {
				out := simtest.Run(*seed+i, o)
				if out.Err == nil {
					continue
				}
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
