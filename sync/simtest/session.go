package simtest

import (
	"errors"
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// A session's errors, by whichever client holds it.
var (
	// ErrCopied reports that the device takes itself for a copy of another.
	ErrCopied = errors.New("simtest: taken for a copy")
	// ErrEndless reports an exchange that was given up, since it came to no end.
	ErrEndless = errors.New("simtest: no end")
)

// Session is what a client needs to bring a place level with another.
type Session struct {
	Replica Syncing
	Own     entry.DeviceID // the place's device; zero where it writes nothing
	Memory  any            // what the client remembers of the other; nil at first
	// Exchange is one round trip.
	Exchange func(exchange.Request) (exchange.Response, error)
}

// Syncing is a replica as a session uses it: the world looks at what it takes.
type Syncing struct {
	*replica.Replica
	w *World
	p *Place
}

// Take takes runs, and checks that none is refused wrongly.
func (s Syncing) Take(runs []entry.Run) (exchange.Taken, error) {
	before := s.p.rep.Have().Entries()
	taken, err := s.p.rep.Take(runs)
	if err != nil {
		return taken, err
	}
	s.p.moved = s.p.moved || s.p.rep.Have().Entries() > before
	s.w.promise(s.p)
	return taken, s.w.right(s.p, taken.Refused)
}

// session has a place bring itself level with another, that answers by exchange.
func (w *World) session(p, q *Place, call func(exchange.Request) (exchange.Response, error)) (moved bool, err error) {
	before := p.rep.Have().Entries() + q.rep.Have().Entries()
	s := &Session{Replica: Syncing{p.rep, w, p}, Own: p.Device, Memory: p.met[q.Name], Exchange: call}
	if w.forgers[p.Name] != nil {
		s.Own = entry.DeviceID{} // it knows that it wrote elsewhere too
	}
	err = w.Session(s)
	p.met[q.Name] = s.Memory
	var refused *exchange.Refusal
	switch {
	case errors.Is(err, ErrCopied):
		return false, fmt.Errorf("rule 7: %s takes itself for a copy: %w", p.Name, err)
	case errors.As(err, &refused) && w.lies(refused.Device):
		err = nil // of who floods, or branches, each holds what it may
	case refused != nil && (w.forgers[p.Name] != nil || w.forgers[q.Name] != nil):
		err = nil // who lies says, or asks for, what does not fit
	case errors.Is(err, exchange.ErrInviteFull), errors.Is(err, exchange.ErrStranger):
		err = nil // who asks to join is told
	}
	return p.rep.Have().Entries()+q.rep.Have().Entries() > before, err
}

// rebuilds is a place that loses its store, and starts anew: server rebuilds.
func (w *World) rebuilds(p *Place) error {
	if !p.Device.IsZero() {
		return fmt.Errorf("%w: %s writes", ErrCannot, p.Name)
	}
	if err := p.disk.Close(); err != nil {
		return err
	}
	p.disk, p.stored, p.gen = w.Disks(p.Name), nil, p.gen+1
	p.peers, p.met = map[string]chain.Frontier{}, map[string]any{}
	return w.start(p)
}
