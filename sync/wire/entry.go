// Package wire turns entries into bytes and back: the protocol buffer messages
// of proto/turnrow/v1, in their one canonical form (fields in order, zero
// values left out), written once and then kept as they are.
//
// An entry does not repeat what its log implies. Its clock is the difference
// to the log's last entry, its wall clock the difference to its clock, and a
// reference is two small numbers: which of the logs that this one has named,
// and the entry's number there. So an entry is read in its place in the log,
// with the chain.Head before it.
package wire

import (
	"errors"
	"fmt"

	"google.golang.org/protobuf/encoding/protowire"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/hlc"
)

// Numbers of the envelope's fields; the body's is its kind.
const (
	fieldLater  = 1
	fieldCount  = 2
	fieldWall   = 3
	fieldPerson = 4
	fieldMet    = 5
	fieldSeen   = 6
)

// The errors of this package. ErrMalformed is bytes that are no entry;
// ErrDraft is a draft that cannot be written, and says why.
var (
	ErrMalformed = fmt.Errorf("wire: entry: %w", exchange.ErrMalformed)
	ErrDraft     = errors.New("wire: cannot write entry")
)

// Encode gives the bytes of a device's next entry and moves head past it (all
// but the chain's number and hash, which Head.Advance moves). A body out of
// range or a reference to something that the writer has not seen gives ErrDraft,
// and head stays as it is.
func Encode(head *chain.Head, d entry.Draft) ([]byte, error) {
	switch d.Body.(type) {
	case nil:
		return nil, fmt.Errorf("%w: no body", ErrDraft)
	case *entry.Unknown:
		return nil, fmt.Errorf("%w: a body that this version does not know", ErrDraft)
	}
	if err := d.Body.Check(); err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrDraft, d.Body.Kind(), err)
	}
	next := head.Clone()
	met, seen, err := see(&next, d.Seen)
	if err != nil {
		return nil, err
	}
	w := &writer{ref: func(id entry.ID) (uint64, error) { return pack(&next, id) }}
	clockFields(w, head.Clock, d)
	w.Ref(fieldPerson, &d.Person)
	w.Bytes(fieldMet, &met)
	w.Bytes(fieldSeen, &seen)
	w.Body(0, d.Body)
	if w.err != nil {
		return nil, w.err
	}
	if len(w.buf) > entry.MaxRaw {
		return nil, fmt.Errorf("%w: %d bytes, %d at most", ErrDraft, len(w.buf), entry.MaxRaw)
	}
	next.Clock = d.Clock
	*head = next
	return w.buf, nil
}

func clockFields(w *writer, last hlc.Time, d entry.Draft) {
	later := uint64(d.Clock.Millis() - last.Millis()) // a step back wraps around: that is rare
	count := uint64(d.Clock.Count())
	w.Uint(fieldLater, &later)
	w.Uint(fieldCount, &count)
	if off := d.Wall - d.Clock.Millis(); off != 0 {
		w.varint(fieldWall, protowire.EncodeZigZag(off))
	}
}

// see takes in how far a writer has seen other logs: those that its own had not
// named, and what changed, as packed references whose number is
// the difference to what was seen before, each with the hash of the log there.
func see(h *chain.Head, seen []entry.Mark) (met, steps []byte, err error) {
	for _, id := range seen {
		i := h.Peer(id.Log)
		if i < 0 {
			if i = len(h.Peers); i >= entry.MaxDevices {
				return nil, nil, fmt.Errorf("%w: %d devices seen, %d at most", ErrDraft, i, entry.MaxDevices)
			}
			h.Peers, h.Seen = append(h.Peers, id.Log), append(h.Seen, 0)
			met = append(met, id.Log[:]...)
		}
		if i == 0 || id.Seq <= h.Seen[i] {
			return nil, nil, fmt.Errorf("%w: %s seen to %d, and before to %d", ErrDraft, id.Log, id.Seq, h.Seen[i])
		}
		step := packed(i, id.Seq-h.Seen[i])
		if step == 0 {
			return nil, nil, fmt.Errorf("%w: %s seen to %d", ErrDraft, id.Log, id.Seq)
		}
		steps = append(protowire.AppendVarint(steps, step), id.Hash[:]...)
		h.Seen[i] = id.Seq
	}
	return met, steps, nil
}

// pack makes a reference of an entry that the writer has seen.
func pack(h *chain.Head, id entry.ID) (uint64, error) {
	i := h.Peer(id.Log)
	if i < 0 || id.Seq == 0 || id.Seq > min(maxRef, reach(h, i)) {
		return 0, fmt.Errorf("%w: it refers to %s, which this device has not seen", ErrDraft, id)
	}
	return packed(i, id.Seq), nil
}

// unpack sets id to the entry that a reference names, if the writer had seen
// it. IDs are not handed back by value, since that copies each three times.
func unpack(h *chain.Head, n uint64, id *entry.ID) bool {
	i, seq := unpacked(n)
	if i >= len(h.Peers) || seq == 0 || seq > reach(h, i) {
		return false
	}
	id.Log, id.Seq = h.Peers[i], seq
	return true
}

// reach is how far the writer had seen a peer: itself, up to its last entry.
func reach(h *chain.Head, peer int) uint64 {
	if peer == 0 {
		return h.Seq
	}
	return h.Seen[peer]
}
