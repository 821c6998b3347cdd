package replica

import (
	"fmt"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"turnrow/sync/exchange"
)

// limiter counts what each caller, by a key of type K, has open and how often it
// comes, and lets in so many at once, and so many in a time.
type limiter[K comparable] struct {
	each int // for one caller
	all  int // for all together

	mu   sync.Mutex
	open map[K]int
	sum  int
	pace map[K]*rate.Limiter // of those that came lately
	trim int                 // callers in pace before which it is looked through again
}

// paced is how many callers a limiter remembers at least before it looks which of
// them have not come for a while: as many as are busy at once on a busy evening.
const paced = 1024

func newLimiter[K comparable](each, all int) *limiter[K] {
	return &limiter[K]{each: each, all: all, open: map[K]int{}, pace: map[K]*rate.Limiter{}, trim: paced}
}

// enter admits a call and returns the function that ends it, or exchange.ErrBusy.
func (l *limiter[K]) enter(c K, now time.Time) (leave func(), err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.paceOf(c, now).AllowN(now, 1) {
		return nil, fmt.Errorf("%w: this device may call %d times a second", exchange.ErrBusy, exchange.CallsPerSecond)
	}
	return l.in(c)
}

// opens is enter for what has no pace: however often a caller comes.
func (l *limiter[K]) opens(c K) (leave func(), err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.in(c)
}

func (l *limiter[K]) in(c K) (leave func(), err error) {
	switch {
	case l.open[c] >= l.each:
		return nil, fmt.Errorf("%w: this device has %d open, %d at most", exchange.ErrBusy, l.open[c], l.each)
	case l.sum >= l.all:
		return nil, fmt.Errorf("%w: %d are open, %d at most", exchange.ErrBusy, l.sum, l.all)
	}
	l.open[c]++
	l.sum++
	return func() { l.leave(c) }, nil
}

// paceOf is the caller's bucket. One that is full again is as good as a new
// one, and forgotten when there are many.
func (l *limiter[K]) paceOf(c K, now time.Time) *rate.Limiter {
	if b, ok := l.pace[c]; ok {
		return b
	}
	if len(l.pace) >= l.trim {
		for c, b := range l.pace {
			if b.TokensAt(now) >= exchange.CallsBurst {
				delete(l.pace, c)
			}
		}
		l.trim = max(paced, 2*len(l.pace))
	}
	b := rate.NewLimiter(exchange.CallsPerSecond, exchange.CallsBurst)
	l.pace[c] = b
	return b
}

func (l *limiter[K]) leave(c K) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.sum--
	if l.open[c]--; l.open[c] == 0 {
		delete(l.open, c)
	}
}
