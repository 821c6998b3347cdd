package replica

import (
	"fmt"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"turnrow/sync/exchange"
	"turnrow/sync/token"
)

// gate counts what each device has open and how often it comes, and lets in so
// many at once, and so many in a time.
type gate struct {
	each int // for one device
	all  int // for all together

	mu   sync.Mutex
	open map[token.Caller]int
	sum  int
	pace map[token.Caller]*rate.Limiter // of those that came lately
	trim int                            // callers in pace before which it is not looked through again
}

// paced is how many callers a gate remembers at least before it looks which of
// them have not come for a while: as many as are busy at once on a busy evening.
const paced = 1024

func newGate(each, all int) *gate {
	return &gate{each: each, all: all, open: map[token.Caller]int{}, pace: map[token.Caller]*rate.Limiter{}, trim: paced}
}

// enter gives the way out again, or exchange.ErrBusy.
func (g *gate) enter(c token.Caller, now time.Time) (leave func(), err error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if !g.limiter(c, now).AllowN(now, 1) {
		return nil, fmt.Errorf("%w: this device may call %d times a second", exchange.ErrBusy, exchange.CallsPerSecond)
	}
	return g.in(c)
}

// opens is enter, however often one comes.
func (g *gate) opens(c token.Caller) (leave func(), err error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.in(c)
}

func (g *gate) in(c token.Caller) (leave func(), err error) {
	switch {
	case g.open[c] >= g.each:
		return nil, fmt.Errorf("%w: this device has %d open, %d at most", exchange.ErrBusy, g.open[c], g.each)
	case g.sum >= g.all:
		return nil, fmt.Errorf("%w: %d are open, %d at most", exchange.ErrBusy, g.sum, g.all)
	}
	g.open[c]++
	g.sum++
	return func() { g.leave(c) }, nil
}

// limiter is the caller's bucket. One that is full again is as good as a new
// one, and forgotten when there are many.
func (g *gate) limiter(c token.Caller, now time.Time) *rate.Limiter {
	if l, ok := g.pace[c]; ok {
		return l
	}
	if len(g.pace) >= g.trim {
		for c, l := range g.pace {
			if l.TokensAt(now) >= exchange.CallsBurst {
				delete(g.pace, c)
			}
		}
		g.trim = max(paced, 2*len(g.pace))
	}
	l := rate.NewLimiter(exchange.CallsPerSecond, exchange.CallsBurst)
	g.pace[c] = l
	return l
}

func (g *gate) leave(c token.Caller) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.sum--
	if g.open[c]--; g.open[c] == 0 {
		delete(g.open, c)
	}
}
