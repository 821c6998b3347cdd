// Package syncer decides when a client exchanges, and what: [Session] brings
// two replicas level in as few round trips as can be, and [Loop] does so in
// the background for as long as a program runs.
package syncer

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

var (
	// ErrCopied reports that another replica holds more of this device's log
	// than the device itself, or other words: it was put back from a copy, or
	// copied to a second machine. It needs a new identity before it writes.
	ErrCopied = errors.New("this device was put back from a copy: it needs a new invite before it writes")
	// ErrUnknownPeer reports a replica that shows a certificate of a device
	// that the record does not name.
	ErrUnknownPeer = errors.New("the other device does not belong to this farm")
)

// Peer is the other side of an exchange.
type Peer interface {
	Exchange(ctx context.Context, req exchange.Request) (exchange.Response, error)
}

// Replica is this side.
type Replica interface {
	Farm() entry.FarmID
	Frontier() chain.Frontier
	// Have is the frontier with the other branches of forked logs.
	Have() chain.Frontier
	// Owed is what the holder of a frontier lacks.
	Owed(have chain.Frontier, maxBytes int) (runs []entry.Run, more bool, err error)
	Take(runs []entry.Run) (exchange.Taken, error)
}

// Memory is what is remembered of a peer: which store it was, and how far it
// held the record durably. The zero Memory is of one never met.
type Memory struct {
	Generation exchange.Generation
	Stored     chain.Frontier
	Brief      bool // it reads short names
}

// Result is what an exchange did.
type Result struct {
	Sent       int // entries of ours that the other has now stored
	Received   int // entries that were new here
	RoundTrips int
	Anew       bool               // the other had started anew: all was offered again
	Refused    []exchange.Refusal // runs that either side did not take
}

// Session brings this replica and a peer level.
type Session struct {
	Replica Replica
	Peer    Peer
	Own     entry.DeviceID // this device
	Memory  Memory
	// Keep remembers the peer anew after each round.
	Keep func(Memory) error
	// Trusted says whether the peer may be given entries; nil is always. One
	// that may not is only asked, and the record that it gives may name it.
	Trusted func() bool
	// MaxBytes is the bytes of runs in one message, either way; 0 is
	// exchange.UsualBatch.
	MaxBytes int

	res Result
}

// CatchUp exchanges until neither lacks anything of the other, or nothing
// moves any more. What was taken on the way is kept whatever happens.
func (s *Session) CatchUp(ctx context.Context) (Result, error) {
	for {
		again, err := s.round(ctx)
		if err != nil || !again {
			return s.res, err
		}
	}
}

// round is one round trip. It says whether another is needed.
func (s *Session) round(ctx context.Context) (again bool, err error) {
	runs, _, err := s.offer()
	if err != nil {
		return false, err
	}
	resp, err := s.Peer.Exchange(ctx, exchange.Request{
		Farm: s.Replica.Farm(), Have: s.Replica.Have(), Runs: runs, Generation: s.Memory.Generation,
		MaxBytes: s.MaxBytes, Brief: s.Memory.Brief,
	})
	brief := s.Memory.Brief
	if brief && (errors.Is(err, exchange.ErrMalformed) || err == nil && !resp.Brief) {
		// It knows two devices of one short name, or has never heard of short names
		// (an older version at the old address) and has taken this side for empty.
		s.res.RoundTrips++
		s.Memory.Brief = false
		return true, nil
	}
	if err != nil {
		return false, err
	}
	s.res.RoundTrips++
	copied := s.copied(resp)
	moved, err := s.take(runs, resp)
	if err = errors.Join(copied, err); err != nil {
		return false, err
	}
	return s.onward(resp, moved)
}

// offer is what the peer lacks as far as is remembered. To one never met, or
// not to be trusted yet, it is nothing: its answer says how far it is.
func (s *Session) offer() ([]entry.Run, bool, error) {
	if s.Memory.Generation.IsZero() || !s.trusted() {
		return nil, false, nil
	}
	return s.Replica.Owed(s.Memory.Stored, cmp.Or(s.MaxBytes, exchange.UsualBatch))
}

func (s *Session) trusted() bool { return s.Trusted == nil || s.Trusted() }

// take keeps what came, remembers how far the peer is, and says whether either
// side has moved.
func (s *Session) take(sent []entry.Run, resp exchange.Response) (moved bool, err error) {
	before := s.Memory
	known := before.Generation == resp.Generation
	s.res.Anew = s.res.Anew || !known && !before.Generation.IsZero()
	if !known {
		before = Memory{}
	}
	n := accepted(sent, before.Stored, resp.Stored)
	s.res.Sent += n
	s.res.Refused = append(s.res.Refused, resp.Refusals...)
	taken, err := s.Replica.Take(resp.Runs)
	s.res.Received += len(taken.Entries)
	s.res.Refused = append(s.res.Refused, taken.Refused...)
	s.Memory = Memory{resp.Generation, resp.Stored, resp.Brief}
	if err == nil && s.Keep != nil {
		err = s.Keep(s.Memory)
	}
	return !known || n > 0 || len(taken.Entries) > 0, err
}

// onward says whether there is more to do, after a round that moved something
// or did not.
func (s *Session) onward(resp exchange.Response, moved bool) (bool, error) {
	if !resp.More && !s.trusted() {
		return false, ErrUnknownPeer
	}
	owed, _, err := s.Replica.Owed(resp.Stored, 1)
	switch {
	case err != nil:
		return false, err
	case !resp.More && len(owed) == 0:
		return false, nil
	case moved:
		return true, nil
	}
	return false, s.amiss()
}

// amiss is why nothing moves although something is owed. It is nil where that
// is another device's fork, of which both sides hold what they can.
func (s *Session) amiss() error {
	for i := range s.res.Refused {
		if r := &s.res.Refused[i]; !errors.Is(r.Err, exchange.ErrFork) && !errors.Is(r.Err, chain.ErrFork) {
			return fmt.Errorf("entries of %s from %d on are not taken: %w", r.Device, r.First, r)
		}
	}
	return nil
}

// accepted is how many of the entries sent the peer has now, and had not
// before.
func accepted(sent []entry.Run, before, now chain.Frontier) int {
	n := 0
	for i := range sent {
		from := max(sent[i].First-1, before.Seq(sent[i].Device))
		to := min(sent[i].Last(), now.Seq(sent[i].Device))
		if to > from {
			n += int(to - from)
		}
	}
	return n
}

// copied notices a log of this device's that is not as the device left it.
func (s *Session) copied(resp exchange.Response) error {
	theirs, ours := resp.Stored.Mark(s.Own), s.Replica.Frontier().Mark(s.Own)
	if theirs.Seq > ours.Seq || theirs.Seq == ours.Seq && theirs.Hash != ours.Hash {
		return ErrCopied
	}
	for _, r := range resp.Refusals {
		if r.Device == s.Own && errors.Is(r.Err, exchange.ErrFork) {
			return ErrCopied
		}
	}
	return nil
}
