package client

import (
	"slices"
	"sync/atomic"

	"turnrow/sync/entry"
)

// urgent is the entries of this device that go out before all others: its holds.
type urgent struct {
	written atomic.Uint64 // so far, since the record was opened
	gone    atomic.Uint64 // of these, how many an exchange took along that went well
	tell    chan struct{} // holds one: something urgent was just written
}

func newUrgent() *urgent { return &urgent{tell: make(chan struct{}, 1)} }

func isUrgent(b entry.Body) bool { return b.Kind() == entry.KindHoldRaised }

// wrote notes what was written.
func (u *urgent) wrote(bodies []entry.Body) {
	if !slices.ContainsFunc(bodies, isUrgent) {
		return
	}
	u.written.Add(1)
	select {
	case u.tell <- struct{}{}:
	default:
	}
}

// waits says whether something urgent is here that no exchange took along yet.
func (u *urgent) waits() bool { return u.gone.Load() < u.written.Load() }

// during has an exchange, and notes what went with it.
func (u *urgent) during(exchange func() error) error {
	written := u.written.Load()
	err := exchange()
	if err == nil {
		u.gone.Store(written)
	}
	return err
}
