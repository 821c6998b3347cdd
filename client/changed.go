package client

import (
	"context"
	"iter"
	"sync"

	"turnrow/sync/farm"
)

// Changed gives a channel that is closed at the next change: entries were
// written or came in, or an exchange ended, well or not, which may leave fewer
// entries pending. Nothing is worked out for it.
//
// Each channel tells of one change and is closed once; all that happens until
// the next is asked for is one change. Whoever wants to miss none asks for the
// channel, then looks, then waits.
func (f *Farm) Changed() <-chan struct{} { return f.bell.next() }

// Changes gives the farm as it stands, and again after every change that
// Changed tells of, until the context ends or the farm is closed. Changes that come while one is
// looked at are seen together.
func (f *Farm) Changes(ctx context.Context) iter.Seq[*farm.View] {
	return func(yield func(*farm.View) bool) {
		for {
			changed := f.Changed()
			if ctx.Err() != nil || f.isClosed() || !yield(f.View()) {
				return
			}
			select {
			case <-changed:
			case <-f.closed:
				return
			case <-ctx.Done():
				return
			}
		}
	}
}

// bell wakes whoever waits for the next change.
type bell struct {
	mu   sync.Mutex
	rung chan struct{} // closed at the next change; nil while nobody waits for it
}

func (b *bell) next() <-chan struct{} {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.rung == nil {
		b.rung = make(chan struct{})
	}
	return b.rung
}

func (b *bell) ring() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.rung != nil {
		close(b.rung)
		b.rung = nil
	}
}
