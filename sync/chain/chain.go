// Package chain checks one device's log as it grows: that a run follows on
// what is held, that its hashes chain and that the device's signature vouches
// for its end. What it finds wrong it says as an error that carries the
// evidence.
package chain

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// Head is where a log stands after its entry Seq, with all that is
// needed to read or write the next one. The zero Seq is a log without entries.
type Head struct {
	Farm  entry.FarmID
	Log   entry.LogID
	Key   entry.Key  // the device's public key, as its first entry names it
	Seq   uint64     // number of its last entry
	Hash  entry.Hash // h(Seq)
	Clock hlc.Time   // of its last entry
	Bytes uint64     // of all its entries
	// Peers are the logs that this one has named, in that order; the first is the
	// log itself. References count in this list.
	Peers []entry.LogID
	Seen  []uint64 // how far the writer had seen each of Peers; unused for itself
}

// Start is the head of a device's own log without entries.
func Start(farm entry.FarmID, device entry.DeviceID, key entry.Key) Head {
	return Head{
		Farm: farm, Log: device.Log(), Key: key, Hash: entry.FirstHash(farm, device),
		Peers: []entry.LogID{device.Log()}, Seen: []uint64{0},
	}
}

// Clone is a head that shares nothing with h.
func (h *Head) Clone() Head {
	c := *h
	c.Peers, c.Seen = slices.Clone(h.Peers), slices.Clone(h.Seen)
	return c
}

// Advance moves the number, the hash and the bytes on by one entry.
func (h *Head) Advance(raw []byte) {
	h.Seq++
	h.Hash = entry.NextHash(h.Hash, raw)
	h.Bytes += uint64(len(raw))
}

// Peer finds a log in the head's list, or -1.
func (h *Head) Peer(l entry.LogID) int { return slices.Index(h.Peers, l) }

// The things that can be wrong with a run.
var (
	ErrEmpty = errors.New("chain: run without entries")
	ErrOther = errors.New("chain: run of another device")
	ErrGap   = errors.New("chain: run does not follow on what is held")
	ErrSize  = errors.New("chain: entry too large")
	ErrFork  = errors.New("chain: device's log is forked")
)

// ForkError reports two different entries that one device signed under one
// number: it was restored from a copy, or cloned. It is an ErrFork.
type ForkError struct {
	Device       entry.DeviceID
	Seq          uint64 // the first number at which the logs part
	Ours, Theirs []byte // the entries' bytes
}

func (e *ForkError) Error() string {
	return fmt.Sprintf("chain: device %s wrote entry %d twice, with different words", e.Device, e.Seq)
}

// Unwrap is ErrFork.
func (e *ForkError) Unwrap() error { return ErrFork }

// Verified is a run that has passed Check: it follows on a head, chains, and
// is signed. Only Check makes one.
type Verified struct {
	run    entry.Run
	hashes []entry.Hash
}

// Run is the run that was checked, without what had been held before.
func (v *Verified) Run() entry.Run { return v.run }

// Hash is the chain's hash at the end of the run.
func (v *Verified) Hash() entry.Hash { return v.hashes[len(v.hashes)-1] }

// HashAt is the chain's hash at the run's entry i, from 0.
func (v *Verified) HashAt(i int) entry.Hash { return v.hashes[i] }

// Check checks that a run follows on h and that h.Key signed it. The run may
// begin before the head's end: held gives the entries held from a number on,
// which must be the same bytes. A run that brings nothing new gives ErrEmpty;
// other errors are ErrOther, ErrGap, ErrSize, entry.ErrSignature, and a
// *ForkError where the bytes differ (its signature is not yet checked).
func Check(h Head, run entry.Run, held func(seq uint64) ([]byte, error)) (Verified, error) {
	if run.Device.Log() != h.Log {
		return Verified{}, ErrOther
	}
	if run.First == 0 || run.First > h.Seq+1 {
		return Verified{}, fmt.Errorf("%w: it starts at %d, held is up to %d", ErrGap, run.First, h.Seq)
	}
	rest, err := beyond(h, run, held)
	if err != nil {
		return Verified{}, err
	}
	hash, hashes := h.Hash, make([]entry.Hash, 0, len(rest.Entries))
	for i, raw := range rest.Entries {
		if len(raw) > entry.MaxRaw {
			return Verified{}, fmt.Errorf("%w: entry %d has %d bytes of %d", ErrSize, rest.First+uint64(i), len(raw), entry.MaxRaw)
		}
		hash = entry.NextHash(hash, raw)
		hashes = append(hashes, hash)
	}
	if err := entry.Verify(h.Key, hash, run.Sig); err != nil {
		return Verified{}, fmt.Errorf("chain: entries %d to %d of %s: %w", rest.First, rest.Last(), h.Log, err)
	}
	return Verified{rest, hashes}, nil
}

// beyond drops the part of a run that is held already.
func beyond(h Head, run entry.Run, held func(uint64) ([]byte, error)) (entry.Run, error) {
	for run.First <= h.Seq && len(run.Entries) > 0 {
		ours, err := held(run.First)
		if err != nil {
			return run, err
		}
		if !bytes.Equal(ours, run.Entries[0]) {
			return run, &ForkError{run.Device, run.First, ours, run.Entries[0]}
		}
		run.First++
		run.Entries = run.Entries[1:]
	}
	if len(run.Entries) == 0 {
		return run, ErrEmpty
	}
	return run, nil
}
