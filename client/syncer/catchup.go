// Package syncer decides when a client exchanges, and what: [Session] brings
// two replicas level in as few round trips as can be, and [Loop] does so in
// the background for as long as a program runs.
package syncer

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

var (
	// ErrCopied reports that another replica holds more of this device's log
	// than the device itself, or other words: it was put back from a copy, or
	// copied to a second machine. It needs a new identity before it writes.
	ErrCopied = errors.New("this device was put back from a copy, or a copy of it writes elsewhere: it needs a new invite before it writes")
	// ErrUnknownPeer reports a replica that shows a certificate of a device
	// that the record does not name.
	ErrUnknownPeer = errors.New("the other device does not belong to this farm")
)

// ErrEndless reports a replica with which an exchange comes to no end: it
// starts anew at each answer, or takes back what it said before.
var ErrEndless = errors.New("the exchange comes to no end: the other starts anew at each answer")

const (
	// maxAnew is how often the other may start anew within one exchange: once,
	// in its midst, is rare enough.
	maxAnew = 2
	// maxRounds is the round trips of one exchange. At exchange.UsualBatch each
	// that is some gigabytes; what is left comes with the next exchange.
	maxRounds = 4096
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
	// Missing is what the holder of a frontier lacks.
	Missing(have chain.Frontier, maxBytes int) (runs []entry.Run, more bool, err error)
	Take(runs []entry.Run) (exchange.Taken, error)
}

// Memory is what is remembered of a peer: which store it was, and how far it
// held the record durably. The zero Memory is of one never met.
type Memory struct {
	Generation exchange.Generation
	Stored     chain.Frontier
	ReadsBrief bool // it reads short names
}

// Result is what an exchange did.
type Result struct {
	Sent       int // entries of ours that the other has now stored
	Received   int // entries that were new here
	RoundTrips int
	Anew       bool               // the other had started anew: all was offered again
	Waits      bool               // this device waits to be let in: the other takes its own log, and gives nothing
	Porter     entry.Mark         // the other's own device, where it offers to let in whoever has an invite
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
	// OwnFirst has what this device wrote go before all else: something in it must
	// not wait for a large batch of others' to pass a slow link.
	OwnFirst bool
	// Returning says that this device lost entries of its own on its disk: they may
	// come back.
	Returning bool
	// MaxBytes is the bytes of runs in one message, either way; 0 is
	// exchange.UsualBatch.
	MaxBytes int

	res     Result
	offered bool           // what this device wrote was offered by itself
	anew    int            // how often the other started anew
	known   chain.Frontier // the furthest that it said that it is, since it last did
	// What it has shown of entries under this device's signature that the device
	// did not write: more of its log, or another branch.
	longer, forked bool
}

// CatchUp exchanges until neither lacks anything of the other, or nothing
// moves any more. What was taken on the way is kept whatever happens.
func (s *Session) CatchUp(ctx context.Context) (Result, error) {
	for range maxRounds {
		again, err := s.round(ctx)
		if err != nil || !again {
			return s.res, err
		}
		if s.anew > maxAnew {
			break
		}
	}
	return s.res, ErrEndless
}

// round is one round trip. It says whether another is needed.
func (s *Session) round(ctx context.Context) (again bool, err error) {
	runs, _, err := s.offer()
	if err != nil {
		return false, err
	}
	resp, err := s.Peer.Exchange(ctx, exchange.Request{
		Farm: s.Replica.Farm(), Have: s.Replica.Have(), Runs: runs, Generation: s.Memory.Generation,
		MaxBytes: s.MaxBytes, ReadsBrief: s.Memory.ReadsBrief,
	})
	brief := s.Memory.ReadsBrief
	if brief && (errors.Is(err, exchange.ErrMalformed) || err == nil && !resp.ReadsBrief) {
		// It knows two devices of one short name, or has never heard of short names
		// (an older version at the old address) and has taken this side for empty.
		s.res.RoundTrips++
		s.Memory.ReadsBrief = false
		return true, nil
	}
	if errors.Is(err, exchange.ErrWaiting) {
		s.res.Waits = true
		return false, nil
	}
	if err != nil {
		return false, err
	}
	s.res.RoundTrips++
	s.offered = s.offered || len(runs) > 0
	moved, err := s.take(runs, resp)
	if s.copied(resp) {
		err = errors.Join(ErrCopied, err)
	}
	if err != nil {
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
	budget := cmp.Or(s.MaxBytes, exchange.UsualBatch)
	if s.ownFirst() {
		budget = exchange.MaxBatch // its own log is anywhere among what is missing
	}
	runs, more, err := s.Replica.Missing(s.Memory.Stored, budget)
	if own := s.own(slices.Clone(runs)); s.res.Waits || s.ownFirst() && len(own) > 0 {
		runs = own
	}
	return runs, more, err
}

// ownFirst says whether the next offer is of this device's own log alone: it is
// until the other has answered such a one.
func (s *Session) ownFirst() bool { return s.OwnFirst && !s.offered }

// own is the runs of this device's own log.
func (s *Session) own(runs []entry.Run) []entry.Run {
	return slices.DeleteFunc(runs, func(r entry.Run) bool { return r.Device != s.Own })
}

func (s *Session) trusted() bool { return s.Trusted == nil || s.Trusted() }

// take keeps what came, remembers how far the peer is, and says whether either
// side has moved.
func (s *Session) take(sent []entry.Run, resp exchange.Response) (moved bool, err error) {
	known := s.Memory.Generation == resp.Generation
	switch {
	case !known:
		s.known, s.res.Refused, resp.Refusals = nil, nil, nil // what another store held, and lacked, says nothing of this one
		if !s.Memory.Generation.IsZero() {
			s.res.Anew = true
			s.anew++
		}
	case s.known == nil:
		s.known = s.Memory.Stored
	}
	n := accepted(sent, s.known, resp.Stored)
	s.known = s.known.Max(resp.Stored)
	s.res.Sent += n
	s.res.Refused = append(s.res.Refused, resp.Refusals...)
	s.res.Waits, s.res.Porter = resp.Waits, resp.Porter
	taken, err := s.Replica.Take(resp.Runs)
	s.res.Received += len(taken.Entries)
	s.res.Refused = append(s.res.Refused, taken.Refused...)
	s.shown(taken)
	s.Memory = Memory{resp.Generation, resp.Stored, resp.ReadsBrief}
	if err == nil && s.Keep != nil {
		err = s.Keep(s.Memory)
	}
	return !known || n > 0 || len(taken.Entries) > 0, err
}

// onward says whether there is more to do, after a round that moved something
// or did not.
func (s *Session) onward(resp exchange.Response, moved bool) (bool, error) {
	switch {
	case resp.Waits && !s.trusted():
		return false, nil
	case !resp.More && !s.trusted():
		return false, ErrUnknownPeer
	}
	budget := 1
	if resp.Waits {
		budget = exchange.MaxBatch // its own log is anywhere among what is missing
	}
	missing, _, err := s.Replica.Missing(resp.Stored, budget)
	if resp.Waits {
		missing = s.own(missing)
	}
	switch {
	case err != nil:
		return false, err
	case !resp.More && len(missing) == 0:
		return false, nil
	case moved:
		return true, nil
	}
	return false, s.amiss()
}

// amiss is why nothing moves although something is missing. It is nil where that
// is another device's fork, the log of one that does not belong, or one that is
// beyond its bounds, and what follows on that: of those each side holds what it
// may.
func (s *Session) amiss() error {
	bounded := map[entry.DeviceID]bool{}
	for i := range s.res.Refused {
		r := &s.res.Refused[i]
		bounded[r.Device] = bounded[r.Device] || beyondBounds(r)
	}
	for i := range s.res.Refused {
		r := &s.res.Refused[i]
		fork := errors.Is(r.Err, exchange.ErrFork) || errors.Is(r.Err, chain.ErrFork)
		outside := beyondBounds(r) && r.Device != s.Own
		follows := bounded[r.Device] && errors.Is(r.Err, chain.ErrGap)
		if !fork && !outside && !follows {
			return fmt.Errorf("notes of %s from %d on are not taken: %w", r.Device, r.First, r)
		}
	}
	return nil
}

func beyondBounds(r *exchange.Refusal) bool {
	for _, err := range []error{exchange.ErrStranger, exchange.ErrInviteFull, exchange.ErrBound, exchange.ErrBudget, exchange.ErrRights} {
		if errors.Is(r.Err, err) {
			return true
		}
	}
	return false
}

// accepted is how many of the entries sent the peer has now, and had not
// before.
func accepted(sent []entry.Run, before, now chain.Frontier) int {
	n := 0
	for i := range sent {
		from := max(sent[i].First-1, before.Seq(sent[i].Device.Log()))
		to := min(sent[i].Last(), now.Seq(sent[i].Device.Log()))
		if to > from {
			n += int(to - from)
		}
	}
	return n
}

// shown notes what was taken that proves that this device's log was written
// elsewhere too.
func (s *Session) shown(t exchange.Taken) {
	s.longer = s.longer || !s.Returning && slices.ContainsFunc(t.Entries, func(e entry.Entry) bool { return e.Log == s.Own.Log() })
	s.forked = s.forked || slices.ContainsFunc(t.Refused, s.ownFork)
}

func (s *Session) ownFork(r exchange.Refusal) bool {
	return r.Device == s.Own && errors.Is(r.Err, chain.ErrFork)
}

// copied says whether the other holds this device's log otherwise than the
// device left it, and has shown so. Where it has not, its word counts for
// nothing: one number must not keep a device from writing.
func (s *Session) copied(resp exchange.Response) bool {
	if s.longer || !s.forked {
		return s.longer
	}
	theirs, ours := resp.Stored.Mark(s.Own.Log()), s.Replica.Frontier().Mark(s.Own.Log())
	return theirs.Seq > ours.Seq || theirs.Seq == ours.Seq && theirs.Hash != ours.Hash ||
		slices.ContainsFunc(resp.Refusals, s.ownFork)
}
