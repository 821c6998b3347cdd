package syncer_test

import (
	"context"
	"errors"
	"log/slog"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"turnrow/client/syncer"
	"turnrow/sync/exchange"
)

// world is what a loop meets, under a clock that moves only where all have
// come to rest: when the loop exchanged and watched, and what came of it.
type world struct {
	*syncer.Loop
	begun  time.Time
	result func(n int) error // of the n-th exchange, from 1
	back   chan struct{}

	mu      sync.Mutex
	tries   []time.Duration // exchanges, since the start
	watches []time.Duration // beginnings of watches, since the start
	hear    func()
	owes    bool          // entries here that the other lacks
	changed chan struct{} // closed at the next entry here
	urgent  bool          // an entry here that must not wait
	hurry   chan struct{} // tells of it
}

func newWorld(result func(n int) error) *world {
	w := &world{result: result, changed: make(chan struct{}), back: make(chan struct{}, 1)}
	w.Loop = &syncer.Loop{
		Sync:    w.sync,
		Owes:    w.owing,
		Changed: w.change,
		Back:    w.back,
		Chance:  rand.New(rand.NewPCG(1, 2)).Int64N,
		Logger:  slog.New(slog.DiscardHandler),
	}
	return w
}

func (w *world) sync(context.Context) error {
	err := w.result(w.happened(&w.tries))
	if err == nil {
		w.owe(false)
	}
	return err
}

// happened notes that something happened now, and how often it has.
func (w *world) happened(when *[]time.Duration) int {
	w.mu.Lock()
	defer w.mu.Unlock()
	*when = append(*when, time.Since(w.begun))
	return len(*when)
}

// all is when something happened, all told.
func (w *world) all(when *[]time.Duration) []time.Duration {
	w.mu.Lock()
	defer w.mu.Unlock()
	return slices.Clone(*when)
}

func (w *world) tried() []time.Duration   { return w.all(&w.tries) }
func (w *world) watched() []time.Duration { return w.all(&w.watches) }

// hint is the other's word that it has something new.
func (w *world) hint() {
	w.mu.Lock()
	hear := w.hear
	w.mu.Unlock()
	hear()
	synctest.Wait()
}

func (w *world) owing() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.owes
}

func (w *world) owe(owes bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.owes = owes
}

func (w *world) change() <-chan struct{} {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.changed
}

// note is a new entry here.
func (w *world) note() {
	w.owe(true)
	w.mu.Lock()
	close(w.changed)
	w.changed = make(chan struct{})
	w.mu.Unlock()
	synctest.Wait()
}

// listens gives the loop watches that end after a time; 0 is never.
func (w *world) listens(last time.Duration) {
	w.Watch = func(ctx context.Context, hear func()) error {
		w.happened(&w.watches)
		w.mu.Lock()
		w.hear = hear
		w.mu.Unlock()
		if last > 0 {
			var cancel context.CancelFunc
			ctx, cancel = context.WithTimeout(ctx, last)
			defer cancel()
		}
		<-ctx.Done()
		return ctx.Err()
	}
}

// start runs the loop until the test ends; then it waits for all that the loop
// started.
func (w *world) start(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	w.begun = time.Now()
	done := make(chan struct{})
	go func() { defer close(done); w.Run(ctx) }()
	t.Cleanup(func() { cancel(); <-done })
	synctest.Wait()
}

func pass(d time.Duration) {
	time.Sleep(d)
	synctest.Wait()
}

var errAway = errors.New("away")

func always(err error) func(int) error { return func(int) error { return err } }

// failing fails the first n exchanges.
func failing(n int) func(int) error {
	return func(i int) error {
		if i <= n {
			return errAway
		}
		return nil
	}
}

func TestAtOnceOnNewEntries(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(nil))
		w.start(t)
		for i := range 5 {
			pass(7 * time.Second)
			w.note()
			if got := len(w.tried()); got != i+2 {
				t.Fatalf("after entry %d: %d exchanges", i+1, got)
			}
		}
	})
}

// One failed round, then silence: the loop tries again by itself.
func TestTriesAgainByItself(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(failing(1))
		w.owe(true)
		w.start(t)
		pass(2 * time.Second)
		if len(w.tried()) != 2 || w.tried()[1] < 500*time.Millisecond || w.tried()[1] > time.Second {
			t.Errorf("tried at %v", w.tried())
		}
	})
}

// The waits double up to a minute and vary, so that a day without a signal
// costs some two thousand tries, and those who failed together part.
func TestBackoff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(errAway))
		w.owe(true)
		w.start(t)
		pass(time.Hour)
		if n := len(w.tried()); n < 60 || n > 140 {
			t.Errorf("%d tries in an hour", n)
		}
		waits := map[time.Duration]bool{}
		tries := w.tried()
		for i := 1; i < len(tries); i++ {
			wait, top := tries[i]-tries[i-1], min(time.Second<<min(i-1, 10), time.Minute)
			if wait < top/2 || wait > top {
				t.Errorf("wait %d is %v, want %v to %v", i, wait, top/2, top)
			}
			waits[wait] = true
		}
		if len(waits) < len(w.tried())-5 {
			t.Errorf("only %d of %d waits differ", len(waits), len(w.tried())-1)
		}
	})
}

// A new entry while the server is away shortens the wait, but however many
// come, tries stay seconds apart.
func TestNewEntriesWhileAway(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(errAway))
		w.start(t)
		pass(10 * time.Minute)
		before := len(w.tried())
		w.note()
		pass(5 * time.Second)
		if len(w.tried()) != before+1 {
			t.Errorf("%d tries within 5 s of a new entry, not 1", len(w.tried())-before)
		}
		before = len(w.tried())
		for range 600 {
			w.note()
			pass(100 * time.Millisecond)
		}
		if n := len(w.tried()) - before; n > 13 {
			t.Errorf("%d tries in a minute of new entries", n)
		}
	})
}

func TestAtOnceWhenTheNetworkIsBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(errAway))
		w.start(t)
		pass(10 * time.Minute)
		before := len(w.tried())
		w.back <- struct{}{}
		synctest.Wait()
		if len(w.tried()) != before+1 {
			t.Errorf("%d tries when the network came back", len(w.tried())-before)
		}
	})
}

// Who is asked to wait does, whatever happens meanwhile.
func TestObeysRetryHint(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(func(n int) error {
			if n == 1 {
				return &exchange.Failure{Err: exchange.ErrBusy, Retry: 30_000}
			}
			return nil
		})
		w.start(t)
		pass(time.Second)
		w.note()
		w.back <- struct{}{}
		pass(28 * time.Second)
		if len(w.tried()) != 1 {
			t.Errorf("tried at %v although asked to wait for 30 s", w.tried())
		}
		pass(2 * time.Second)
		if len(w.tried()) != 2 {
			t.Errorf("tried at %v", w.tried())
		}
	})
}

func TestHint(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(nil))
		w.listens(0)
		w.start(t)
		pass(time.Minute)
		for i := range 3 {
			w.hint()
			if len(w.tried()) != i+2 {
				t.Fatalf("%d exchanges after hint %d", len(w.tried()), i+1)
			}
		}
		if len(w.watched()) != 1 {
			t.Errorf("watches began at %v", w.watched())
		}
	})
}

// One that says without end that it has something new is asked now and then, and
// what is written here still goes out at once.
func TestHintsWithoutEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(nil))
		w.listens(0)
		w.start(t)
		for range 10 * 60 * 10 {
			w.hint()
			pass(100 * time.Millisecond)
		}
		if n := len(w.tried()); n > 2000 {
			t.Errorf("%d exchanges in ten minutes", n)
		}
		before := len(w.tried())
		w.note()
		if len(w.tried()) != before+1 {
			t.Error("a new entry did not go out at once")
		}
	})
}

// A watch that never lasts is not begun in a tight loop; each has an exchange
// before it so that nothing is missed, and entries still go out at once.
func TestWatchThatNeverLasts(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(nil))
		w.listens(time.Millisecond)
		w.start(t)
		pass(time.Hour)
		if n := len(w.watched()); n < 60 || n > 140 {
			t.Errorf("%d watches began in an hour", n)
		}
		if len(w.tried()) < len(w.watched()) || len(w.tried()) > len(w.watched())+10 {
			t.Errorf("%d exchanges for %d watches", len(w.tried()), len(w.watched()))
		}
		before := len(w.tried())
		w.note()
		if len(w.tried()) != before+1 {
			t.Error("a new entry did not go out at once")
		}
	})
}

// A watch that is lost now and then comes back within a second.
func TestLostWatch(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(nil))
		w.listens(10 * time.Minute)
		w.start(t)
		pass(59 * time.Minute)
		for i, at := range w.watched() {
			if early := time.Duration(i) * 10 * time.Minute; at < early || at > early+time.Duration(i)*time.Second {
				t.Errorf("watch %d began at %v", i, at)
			}
		}
		if len(w.watched()) != 6 {
			t.Errorf("%d watches of ten minutes in an hour", len(w.watched()))
		}
	})
}

// Where nothing happens at all, it looks now and then.
func TestSettled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(nil))
		w.start(t)
		pass(24 * time.Hour)
		if n := len(w.tried()); n < 140 || n > 290 {
			t.Errorf("%d exchanges in a quiet day", n)
		}
	})
}

// An exchange that goes well and leaves something missing is not tried again in a
// tight loop.
func TestLeavesSomethingOwed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newWorld(always(nil))
		w.Loop.Owes = func() bool { return true }
		w.start(t)
		pass(time.Minute)
		if n := len(w.tried()); n > 25 {
			t.Errorf("%d exchanges in a minute", n)
		}
	})
}
