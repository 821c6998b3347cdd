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
// here. A draft's own Seen is kept beside that, as it names branches of forked
// logs.
//
// What a device writes in one call, or in calls that come together, has a
// signature at its end, and its log can be cut into runs there.
//
// The first entry of a device must be a FarmFounded or DeviceEnrolled that
// names its key. Errors that can be acted on are ErrKey, ErrUnseen, ErrForked,
// ErrDisk, wire.ErrDraft and wire.ErrMalformed (a founding entry that does not fit
// the farm), and a *BehindError.
func (l *Log) Record(key ed25519.PrivateKey, device entry.DeviceID, wall int64, seen chain.Frontier, writes ...entry.Draft) ([]entry.Entry, error) {
	if len(writes) == 0 {
		return nil, nil
	}
	e, err := l.store.using()
	if err != nil {
		return nil, err
	}
	defer l.store.done()
	q := &request{key: key, device: device, wall: wall, seen: seen, writes: writes, turn: make(chan bool, 1)}
	if l.comes(q) || <-q.turn {
		l.lead(e)
	}
	if q.err != nil {
		return nil, q.err
	}
	return q.entries, nil
}

// request is a call to record, and what became of it.
type request struct {
	key    ed25519.PrivateKey
	device entry.DeviceID
	wall   int64
	seen   chain.Frontier
	writes []entry.Draft

	turn    chan bool // tells a call that waits: true to lead, false that another has led for it
	entries []entry.Entry
	err     error
}

// comes puts a request in the line, and says whether nobody leads.
func (l *Log) comes(q *request) bool {
	l.line.Lock()
	defer l.line.Unlock()
	l.requests = append(l.requests, q)
	first := !l.led
	l.led = true
	return first
}

// lead writes all requests that have come, and hands the lead on once they are
// on disk. Those who come while the disk is busy thus share the next signature,
// the next batch and the next sync.
func (l *Log) lead(e *engine) {
	l.line.Lock()
	all := l.requests
	l.requests = nil
	l.line.Unlock()
	for _, q := range all {
		q.err = errBrokeOff // until it is known what became of it
	}
	defer l.handOn(all) // whatever becomes of this call, the others must not wait for ever
	l.write(e, all)
}

// errBrokeOff is what calls are told whose entries may or may not be on disk.
var errBrokeOff = errors.New("logstore: the call that wrote for this one broke off")

// handOn tells calls that another has led for them, and who leads next.
func (l *Log) handOn(led []*request) {
	for _, q := range led {
		q.turn <- false // one of them is the call that leads, which does not listen any more
	}
	l.line.Lock()
	defer l.line.Unlock()
	if l.led = len(l.requests) > 0; l.led {
		l.requests[0].turn <- true
	}
}

// write writes requests, each device's in a batch, and returns once all are on
// disk or turned down.
func (l *Log) write(e *engine, all []*request) {
	if err := l.store.room(); err != nil {
		for _, q := range all {
			q.err = err
		}
		return
	}
	type group struct {
		growth  *growth
		written []*request
	}
	var groups []group
	for others := all; len(others) > 0; {
		var g group
		if g.growth, g.written, others = l.batch(e, others); g.growth != nil {
			groups = append(groups, g)
		}
	}
	for _, g := range groups {
		err := l.settle(e, g.growth)
		for _, q := range g.written {
			q.err = err
		}
	}
}

// batch puts the requests of the first one's device into one batch, but for
// those that are turned down.
func (l *Log) batch(e *engine, all []*request) (g *growth, written, others []*request) {
	l.mu.Lock()
	defer l.mu.Unlock()
	first := all[0]
	s, err := l.scribe(e, first.key, first.device)
	for _, q := range all {
		if q.device != first.device || !q.key.Equal(first.key) {
			others = append(others, q)
			continue
		}
		failed := err
		if failed == nil {
			q.entries, failed = s.write(q)
		}
		if failed == nil {
			written = append(written, q)
		} else {
			q.err = failed
		}
	}
	if len(written) == 0 {
		return nil, nil, others
	}
	if g, err = l.seal(e, s); err != nil {
		for _, q := range written {
			q.err = err
		}
	}
	return g, written, others
}

// seal signs what a scribe has written, and hands it to the engine.
func (l *Log) seal(e *engine, s *scribe) (*growth, error) {
	b := e.db.NewBatch()
	if err := errors.Join(s.put(b), putHead(b, &s.head)); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	head := s.head // the state keeps it, and nothing else of the scribe
	return l.submit(e, b, l.next.with(&head), s.entries, &head)
}

func putHead(b *pebble.Batch, h *chain.Head) error {
	return put(b, logKey(spaceHead, h.Farm, h.Log), appendHead(nil, h))
}

// scribe writes one device's entries.
type scribe struct {
	before  *state
	latest  hlc.Time
	head    chain.Head
	reads   *wire.Decoder // moves head
	key     ed25519.PrivateKey
	entries []entry.Entry
	raws    [][]byte
	hashes  []entry.Hash // of the chain at each entry
}

func (l *Log) scribe(e *engine, key ed25519.PrivateKey, device entry.DeviceID) (*scribe, error) {
	if len(key) != ed25519.PrivateKeySize {
		return nil, fmt.Errorf("%w: %d bytes", ErrKey, len(key))
	}
	s := &scribe{before: l.next, key: key}
	s.reads = wire.NewDecoder(&s.head)
	h := l.next.head(device.Log())
	if err := e.writesOn(logName{l.farm, device.Log()}, h); err != nil {
		return nil, err
	}
	if h == nil {
		s.head = chain.Start(l.farm, device, s.public())
		return s, nil
	}
	if h.Key != s.public() {
		return nil, fmt.Errorf("%w: device %s", ErrKey, device)
	}
	if len(l.next.branchesOf(device)) > 0 {
		return nil, fmt.Errorf("%w: device %s", ErrForked, device)
	}
	s.head = h.Clone()
	return s, nil
}

func (s *scribe) public() entry.Key { return entry.Key(s.key.Public().(ed25519.PublicKey)) }

// write writes a request's entries, all or none.
func (s *scribe) write(q *request) ([]entry.Entry, error) {
	before := *s
	before.head = s.head.Clone()
	if err := s.add(q); err != nil {
		*s = before
		return nil, err
	}
	n := len(before.entries)
	return s.entries[n:len(s.entries):len(s.entries)], nil
}

func (s *scribe) add(q *request) error {
	for i, d := range q.writes {
		s.latest = hlc.Next(hlc.Later(s.latest, s.before.latest(q.wall), q.wall), q.wall)
		d.Clock, d.Wall = s.latest, q.wall
		if i == 0 {
			var err error
			if d.Seen, err = s.seen(q.seen, d.Seen); err != nil {
				return err
			}
		}
		if err := s.next(d); err != nil {
			return err
		}
	}
	return nil
}

// seen is what a draft says its writer has now seen: what goes beyond before.
func (s *scribe) seen(f chain.Frontier, own []entry.Mark) ([]entry.Mark, error) {
	out := slices.DeleteFunc(slices.Clone(own), s.said)
	for _, m := range f {
		if m.Log == s.head.Log || slices.ContainsFunc(out, func(o entry.Mark) bool { return o.Log == m.Log }) {
			continue
		}
		if h := s.before.head(m.Log); m.Seq > 0 && (h == nil || m.Seq > h.Seq) {
			return nil, fmt.Errorf("%w: %s up to %d", ErrUnseen, m.Log, m.Seq)
		}
		if i := s.head.Peer(m.Log); m.Seq > 0 && (i < 0 || m.Seq > s.head.Seen[i]) {
			out = append(out, m)
		}
	}
	return out, nil
}

// said says whether the log says already that its writer has seen so far: those
// who record at once all find the same news.
func (s *scribe) said(m entry.Mark) bool {
	i := s.head.Peer(m.Log)
	return i >= 0 && s.head.Seen[i] >= m.Seq
}

// next writes one entry, and reads it as every other replica will.
func (s *scribe) next(d entry.Draft) error {
	ahead := s.head
	raw, err := wire.Encode(&ahead, d)
	if err != nil {
		return err
	}
	if s.head.Seq == 0 {
		if err := s.names(raw); err != nil {
			return err
		}
	}
	e, err := s.reads.Next(raw)
	if err != nil {
		return err
	}
	s.entries, s.raws, s.hashes = append(s.entries, e), append(s.raws, raw), append(s.hashes, s.head.Hash)
	return nil
}

// names checks that a log's first entry names the writer's key.
func (s *scribe) names(raw []byte) error {
	named, err := wire.Start(s.head.Farm, s.head.Log.Device(), raw)
	if err != nil {
		return err
	}
	if named.Key != s.public() {
		return fmt.Errorf("%w: the first entry of %s names another", ErrKey, s.head.Log)
	}
	return nil
}

// signEvery is the bytes of entries that share a signature at most; a larger
// entry has one of its own. A log that is written in long batches can thus be cut
// for a weak link, and into runs of exchange.MaxRun, and signing is a small part
// of the writing.
const signEvery = 4 << 10

// put signs what was written, and adds it to a batch.
func (s *scribe) put(b *pebble.Batch) error {
	first := s.head.Seq - uint64(len(s.raws)) + 1
	key := seqKey(spaceEntry, s.head.Farm, s.head.Log, 0)
	unsigned := 0
	for i, raw := range s.raws {
		seq := first + uint64(i)
		key[0] = spaceEntry
		if err := put(b, withSeq(key, seq), raw); err != nil {
			return err
		}
		if unsigned += len(raw); i < len(s.raws)-1 && unsigned+len(s.raws[i+1]) <= signEvery {
			continue
		}
		unsigned = 0
		sig := entry.Sign(s.key, s.hashes[i])
		key[0] = spaceSignature
		if err := put(b, withSeq(key, seq), s.hashes[i][:], sig[:]); err != nil {
			return err
		}
	}
	return nil
}
