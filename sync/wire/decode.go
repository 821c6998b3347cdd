package wire

import (
	"bytes"
	"fmt"
	"slices"

	"google.golang.org/protobuf/encoding/protowire"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// Decode reads a device's next entry and moves head past it: number, hash and
// all. A body that is not known or out of range comes back as *entry.Unknown;
// an envelope that cannot be read gives ErrMalformed, and head stays as it is.
func Decode(head *chain.Head, raw []byte) (entry.Entry, error) {
	return NewDecoder(head).Next(raw)
}

// Decoder reads the entries of one log in order, as Decode does.
type Decoder struct {
	head *chain.Head
	r    reader
	ref  resolver
}

// NewDecoder reads on from head, and moves it.
func NewDecoder(head *chain.Head) *Decoder {
	d := &Decoder{head: head}
	d.ref = func(n uint64, id *entry.ID) bool { return unpack(head, n, id) }
	return d
}

// envelope is what an entry says besides its body, as written.
type envelope struct {
	later, count, person uint64
	wall                 int64
	met                  []byte
	steps                []byte
}

// Next reads the next entry. What it gives shares nothing with raw.
func (d *Decoder) Next(raw []byte) (entry.Entry, error) {
	return d.After(raw, entry.NextHash(d.head.Hash, raw))
}

// After is Next for whoever has worked out the log's hash at the entry already.
func (d *Decoder) After(raw []byte, hash entry.Hash) (entry.Entry, error) {
	h := d.head
	env, rest, err := d.envelope(raw)
	if err != nil {
		return entry.Entry{}, fmt.Errorf("%w: entry %d of %s: %w", ErrMalformed, h.Seq+1, h.Log, err)
	}
	e := entry.Entry{ID: entry.ID{Log: h.Log, Seq: h.Seq + 1}, Hash: hash.Brief()}
	peers, err := d.take(&e, env)
	if err != nil {
		h.Peers, h.Seen = h.Peers[:peers], h.Seen[:peers]
		return entry.Entry{}, fmt.Errorf("%w: entry %d of %s: %w", ErrMalformed, h.Seq+1, h.Log, err)
	}
	e.Body = d.body(rest)
	h.Clock, h.Seq, h.Hash = e.Clock, e.Seq, hash
	h.Bytes += uint64(len(raw))
	return e, nil
}

func (d *Decoder) envelope(raw []byte) (envelope, []byte, error) {
	var env envelope
	r := &d.r
	*r = reader{buf: raw, ref: d.ref}
	r.Uint(fieldLater, &env.later)
	r.Uint(fieldCount, &env.count)
	if z, ok := r.varint(fieldWall); ok {
		env.wall = protowire.DecodeZigZag(z)
	}
	r.Uint(fieldPerson, &env.person)
	env.met, _ = r.bytes(fieldMet)
	env.steps, _ = r.bytes(fieldSeen)
	if r.why != "" {
		return env, nil, fmt.Errorf("envelope: %s", r.why)
	}
	return env, r.buf, nil
}

// take puts the envelope into e and moves the head's clock and peers. It gives
// the number of peers that the head had before; on an error nothing that was
// there has changed but for peers past that number.
func (d *Decoder) take(e *entry.Entry, env envelope) (int, error) {
	h := d.head
	peers := len(h.Peers)
	clock, err := later(h.Clock, env)
	if err != nil {
		return peers, err
	}
	if len(env.met)%len(entry.LogID{}) != 0 || peers+len(env.met)/16 > entry.MaxDevices {
		return peers, fmt.Errorf("devices met: %d bytes", len(env.met))
	}
	for m := env.met; len(m) > 0; m = m[16:] {
		log := entry.LogID(m[:16])
		if h.Peer(log) >= 0 {
			return peers, fmt.Errorf("log %s met twice", log)
		}
		h.Peers, h.Seen = append(h.Peers, log), append(h.Seen, 0)
	}
	seen, err := stepped(h, env.steps)
	if err != nil {
		return peers, err
	}
	for _, m := range seen {
		h.Seen[h.Peer(m.Log)] = m.Seq
	}
	e.Clock, e.Wall, e.Seen = clock, clock.Millis()+env.wall, seen
	if env.person != 0 {
		if !unpack(h, env.person, &e.Person) {
			undo(h, env.steps)
			return peers, fmt.Errorf("person that its writer had not seen")
		}
	}
	return peers, nil
}

func later(last hlc.Time, env envelope) (hlc.Time, error) {
	if env.count > 1<<16-1 {
		return 0, fmt.Errorf("clock out of range")
	}
	return hlc.At(last.Millis()+int64(env.later), uint16(env.count)) // a step back wraps around
}

// stepped is how far the writer has now seen each peer named by steps.
func stepped(h *chain.Head, steps []byte) ([]entry.Mark, error) {
	if len(steps) == 0 {
		return nil, nil
	}
	const least = 1 + len(entry.Brief{}) // bytes of a step
	seen := make([]entry.Mark, 0, len(steps)/least)
	for len(steps) > 0 {
		s, n := protowire.ConsumeVarint(steps)
		if n < 0 || len(steps) < n+len(entry.Brief{}) {
			return nil, fmt.Errorf("seen: torn")
		}
		if n != protowire.SizeVarint(s) {
			return nil, fmt.Errorf("seen: a number in more bytes than it needs")
		}
		i, more := unpacked(s)
		if i == 0 || i >= len(h.Peers) || more == 0 || h.Seen[i]+more < more {
			return nil, fmt.Errorf("seen: step %d of peer %d", more, i)
		}
		if slices.ContainsFunc(seen, func(m entry.Mark) bool { return m.Log == h.Peers[i] }) {
			return nil, fmt.Errorf("seen: device %s twice", h.Peers[i])
		}
		seen = append(seen, entry.Mark{Log: h.Peers[i], Seq: h.Seen[i] + more, Hash: entry.Brief(steps[n:])})
		steps = steps[n+len(entry.Brief{}):]
	}
	return seen, nil
}

// undo takes back steps that were taken.
func undo(h *chain.Head, steps []byte) {
	for len(steps) > 0 {
		s, n := protowire.ConsumeVarint(steps)
		i, more := unpacked(s)
		h.Seen[i] -= more
		steps = steps[n+len(entry.Brief{}):]
	}
}

// body reads an entry's body, or keeps it whole where it cannot be taken in.
func (d *Decoder) body(raw []byte) entry.Body {
	num, typ, size := protowire.ConsumeTag(raw)
	if size < 0 {
		return &entry.Unknown{Raw: bytes.Clone(raw), Why: "no body"}
	}
	kind := entry.Kind(num)
	if int(num) != int(kind) {
		kind = 0
	}
	unknown := func(why string) entry.Body { return &entry.Unknown{Num: kind, Raw: bytes.Clone(raw), Why: why} }
	b := entry.New(kind)
	if b == nil {
		return unknown("a kind that this version does not know")
	}
	val, n := protowire.ConsumeBytes(raw[size:])
	if typ != protowire.BytesType || n < 0 || size+n != len(raw) {
		return unknown("torn, or more than one body")
	}
	r := &d.r
	*r = reader{buf: val, ref: d.ref}
	b.Fields(r)
	r.done()
	if r.why != "" {
		return unknown(r.why)
	}
	if err := b.Check(); err != nil {
		return unknown(err.Error())
	}
	return b
}

// KindOf is the kind of an entry's body by its bytes, without reading that; 0
// where they are none.
func KindOf(raw []byte) entry.Kind {
	var d Decoder
	_, rest, err := d.envelope(raw)
	num, _, size := protowire.ConsumeTag(rest)
	if kind := entry.Kind(num); err == nil && size > 0 && int(num) == int(kind) {
		return kind
	}
	return 0
}

// Start is the head of a device's log before its first entry, whose bytes name
// the device's key. An entry that names none gives ErrMalformed, and so
// does one that founds a farm whose ID is not made from device and key.
func Start(farm entry.FarmID, device entry.DeviceID, first []byte) (chain.Head, error) {
	probe := chain.Start(farm, device, entry.Key{})
	e, err := Decode(&probe, first)
	if err != nil {
		return chain.Head{}, err
	}
	switch b := e.Body.(type) {
	case *entry.FarmFounded:
		if entry.FoundedBy(device, b.Key, b.Paper) != farm {
			return chain.Head{}, fmt.Errorf("%w: farm %s is not what %s founded", ErrMalformed, farm, device)
		}
		return chain.Start(farm, device, b.Key), nil
	case *entry.DeviceEnrolled:
		return chain.Start(farm, device, b.Key), nil
	case *entry.Recovered:
		return chain.Start(farm, device, b.Key), nil
	}
	return chain.Head{}, fmt.Errorf("%w: the first entry of %s names no key", ErrMalformed, device)
}

// Open checks a run against head and reads its entries. It gives the head at
// the run's end and leaves the one it was given alone. Errors are those of
// chain.Check and ErrMalformed; on an error nothing of the run is to be kept.
func Open(head chain.Head, run entry.Run, held func(uint64) ([]byte, error)) (chain.Verified, chain.Head, []entry.Entry, error) {
	v, err := chain.Check(head, run, held)
	if err != nil {
		return v, head, nil, err
	}
	next := head.Clone()
	dec := NewDecoder(&next)
	raws := v.Run().Entries
	es := make([]entry.Entry, 0, len(raws))
	for i, raw := range raws {
		e, err := dec.After(raw, v.HashAt(i))
		if err != nil {
			return chain.Verified{}, head, nil, err
		}
		es = append(es, e)
	}
	return v, next, es, nil
}
