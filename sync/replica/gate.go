package replica

import (
	"fmt"
	"sync"

	"turnrow/sync/exchange"
	"turnrow/sync/token"
)

// gate counts what each device has open, and lets in so many at once.
type gate struct {
	each int // for one device
	all  int // for all together

	mu   sync.Mutex
	open map[token.Caller]int
	sum  int
}

func newGate(each, all int) *gate {
	return &gate{each: each, all: all, open: map[token.Caller]int{}}
}

// enter gives the way out again, or exchange.ErrBusy.
func (g *gate) enter(c token.Caller) (leave func(), err error) {
	g.mu.Lock()
	defer g.mu.Unlock()
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

func (g *gate) leave(c token.Caller) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.sum--
	if g.open[c]--; g.open[c] == 0 {
		delete(g.open, c)
	}
}
