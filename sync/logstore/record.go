package logstore

import (
	"crypto/ed25519"
	"errors"
	"fmt"
	"slices"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// Record writes a device's own next entries, all or none, and returns once
// they are on disk. The drafts' clocks follow on all that is stored, their wall
// clock is wall (ms since 1970), and the first says how much further than
// before the device had seen the others' logs: up to seen, which must be stored
// here. A draft's own Seen is kept beside that, stored or not: a device that
// joins refers to its invite before it holds the record.
//
// The first entry of a device must be a FarmFounded or DeviceEnrolled that
// names its key. Errors that can be acted on are ErrKey, ErrUnseen, ErrForked,
// ErrDisk, wire.ErrDraft, wire.ErrMalformed (a founding entry that does not fit
// the farm) and hlc.ErrExhausted.
func (l *Log) Record(key ed25519.PrivateKey, device entry.DeviceID, wall int64, seen chain.Frontier, writes ...entry.Draft) ([]entry.Entry, error) {
	if len(writes) == 0 {
		return nil, nil
	}
	e, err := l.store.writing()
	if err != nil {
		return nil, err
	}
	defer l.store.done()
	g, err := l.record(e, key, device, wall, seen, writes)
	if err != nil {
		return nil, err
	}
	return g.entries, l.settle(e, g)
}

func (l *Log) record(e *engine, key ed25519.PrivateKey, device entry.DeviceID, wall int64, seen chain.Frontier, writes []entry.Draft) (*growth, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	s, err := l.scribe(key, device)
	if err != nil {
		return nil, err
	}
	b := e.db.NewBatch()
	s.seal = func(seq uint64, raw []byte, h entry.Hash) error {
		sig := entry.Sign(key, h)
		return errors.Join(
			put(b, seqKey(spaceEntry, l.farm, device, seq), raw),
			put(b, seqKey(spaceSignature, l.farm, device, seq), h[:], sig[:]))
	}
	if err := s.write(wall, seen, writes); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	if err := putHead(b, &s.head); err != nil {
		return nil, err
	}
	return l.submit(e, b, l.next.with(&s.head), s.entries)
}

func putHead(b *pebble.Batch, h *chain.Head) error {
	return put(b, logKey(spaceHead, h.Farm, h.Device), appendHead(nil, h))
}

// scribe writes one device's entries.
type scribe struct {
	before  *state
	head    chain.Head
	key     entry.Key
	seal    func(seq uint64, raw []byte, h entry.Hash) error
	entries []entry.Entry
}

func (l *Log) scribe(key ed25519.PrivateKey, device entry.DeviceID) (*scribe, error) {
	if len(key) != ed25519.PrivateKeySize {
		return nil, fmt.Errorf("%w: %d bytes", ErrKey, len(key))
	}
	s := &scribe{before: l.next, key: entry.Key(key.Public().(ed25519.PublicKey))}
	h := l.next.head(device)
	if h == nil {
		s.head = chain.Start(l.farm, device, s.key)
		return s, nil
	}
	if h.Key != s.key {
		return nil, fmt.Errorf("%w: device %s", ErrKey, device)
	}
	if len(l.next.branchesOf(device)) > 0 {
		return nil, fmt.Errorf("%w: device %s", ErrForked, device)
	}
	s.head = h.Clone()
	return s, nil
}

func (s *scribe) write(wall int64, seen chain.Frontier, writes []entry.Draft) error {
	latest := s.before.latest()
	for i, d := range writes {
		clock, err := hlc.Next(latest, wall)
		if err != nil {
			return err
		}
		d.Clock, d.Wall, latest = clock, wall, clock
		if i == 0 {
			if d.Seen, err = s.seen(seen, d.Seen); err != nil {
				return err
			}
		}
		if err := s.add(d); err != nil {
			return err
		}
	}
	return nil
}

// seen is what a draft says its writer has now seen: what goes beyond before.
func (s *scribe) seen(f chain.Frontier, own []entry.ID) ([]entry.ID, error) {
	out := slices.Clone(own)
	for _, m := range f {
		if m.Device == s.head.Device || slices.ContainsFunc(own, func(id entry.ID) bool { return id.Device == m.Device }) {
			continue
		}
		if h := s.before.head(m.Device); m.Seq > 0 && (h == nil || m.Seq > h.Seq) {
			return nil, fmt.Errorf("%w: %s up to %d", ErrUnseen, m.Device, m.Seq)
		}
		if i := s.head.Peer(m.Device); m.Seq > 0 && (i < 0 || m.Seq > s.head.Seen[i]) {
			out = append(out, entry.ID{Device: m.Device, Seq: m.Seq})
		}
	}
	return out, nil
}

// add writes one entry, and reads it as every other replica will.
func (s *scribe) add(d entry.Draft) error {
	ahead := s.head.Clone()
	raw, err := wire.Encode(&ahead, d)
	if err != nil {
		return err
	}
	if s.head.Seq == 0 {
		if err := s.names(raw); err != nil {
			return err
		}
	}
	e, err := wire.Decode(&s.head, raw)
	if err != nil {
		return err
	}
	s.entries = append(s.entries, e)
	return s.seal(e.Seq, raw, s.head.Hash)
}

// names checks that a log's first entry names the writer's key.
func (s *scribe) names(raw []byte) error {
	named, err := wire.Start(s.head.Farm, s.head.Device, raw)
	if err != nil {
		return err
	}
	if named.Key != s.key {
		return fmt.Errorf("%w: the first entry of %s names another", ErrKey, s.head.Device)
	}
	return nil
}
