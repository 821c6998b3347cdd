package logstore

import (
	"errors"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// Log is one farm's record. It is safe for concurrent use. Who holds told may take
// mu, as who holds the store's mu may, and never the other way round; nobody takes
// another lock of these while holding line.
type Log struct {
	store   *Store
	farm    entry.FarmID
	durable atomic.Pointer[state] // on disk; read without a lock, moved on under told

	mu    sync.Mutex // guards next and queue
	next  *state     // durable and all of queue: what the next write goes on from
	queue []*growth  // handed to the engine and not settled, in the order of the engine's log

	line     sync.Mutex // guards what follows
	requests []*request // to record, in the order in which they came
	led      bool       // whether one of the calls that record writes for all

	named func(entry.DeviceID) (held, wanted []entry.Mark) // see NamedBy; nil where nobody says

	told sync.Mutex // held while the durable state moves on
	tell func([]entry.Entry)
}

// growth is one write's part of the record, on its way to the disk.
type growth struct {
	*commit
	state   *state
	entries []entry.Entry
	lost    bool // its writer was told that it failed
}

// loadState reads the heads of a farm.
func loadState(db pebble.Reader, farm entry.FarmID) (*state, error) {
	prefix := farmKey(spaceHead, farm)
	it, err := db.NewIter(&pebble.IterOptions{LowerBound: prefix, UpperBound: after(prefix)})
	if err != nil {
		return nil, err
	}
	var heads []*chain.Head
	for ok := it.First(); ok && err == nil; ok = it.Next() {
		var h chain.Head
		h, err = headAt(farm, it.Key(), it.Value())
		heads = append(heads, &h)
	}
	if err := errors.Join(err, unreadable(prefix, it.Error()), it.Close()); err != nil {
		return nil, err
	}
	branches, err := loadBranches(db, farm)
	return new(state).with(heads...).withBranches(branches...), err
}

func headAt(farm entry.FarmID, key, value []byte) (chain.Head, error) {
	p, err := payload(key, value)
	if err != nil {
		return chain.Head{}, err
	}
	h, _, err := readHead(farm, entry.LogID(key[len(key)-idLen:]), p)
	return h, err
}

// Farm is the farm whose record this is.
func (l *Log) Farm() entry.FarmID { return l.farm }

// Frontier is how far each device's log is durably stored. Do not change it.
func (l *Log) Frontier() chain.Frontier { return l.durable.Load().frontier }

// Head is a device's head, as far as its log is durably stored.
func (l *Log) Head(d entry.DeviceID) (chain.Head, bool) {
	h := l.durable.Load().head(d.Log())
	if h == nil {
		return chain.Head{}, false
	}
	return h.Clone(), true
}

// Heads are the heads of all devices, by device, as far as their logs are
// durably stored.
func (l *Log) Heads() []chain.Head {
	heads := l.durable.Load().heads
	out := make([]chain.Head, len(heads))
	for i, h := range heads {
		out[i] = h.Clone()
	}
	return out
}

// OnStored has fn told of new entries once they are on disk: each device's in
// order, nothing twice, one call at a time. A Record or Take returns after fn
// was told. fn must not write to the log. It replaces an earlier fn.
func (l *Log) OnStored(fn func([]entry.Entry)) {
	l.told.Lock()
	defer l.told.Unlock()
	l.tell = fn
}

// submit hands a batch to the engine as the log's next growth; own is the head
// of the log that was recorded to, if one was. The caller holds l.mu, and calls
// settle without it.
func (l *Log) submit(e *engine, b *pebble.Batch, next *state, entries []entry.Entry, own *chain.Head) (*growth, error) {
	var c *commit
	var err error
	if own == nil {
		c, err = e.apply(b)
	} else {
		c, err = e.record(b, logName{l.farm, own.Log}, own.Seq)
	}
	if err != nil {
		return nil, err
	}
	g := &growth{commit: c, state: next, entries: entries}
	l.next = next
	l.queue = append(l.queue, g)
	return g, nil
}

// settle waits until a growth is on disk and moves the durable state there.
func (l *Log) settle(e *engine, g *growth) error {
	err := e.wait(g.commit)
	l.told.Lock()
	defer l.told.Unlock()
	ready, err := l.pop(g, err)
	for _, r := range ready {
		l.durable.Store(r.state)
		if l.tell != nil && len(r.entries) > 0 {
			l.tell(r.entries)
		}
	}
	return err
}

// pop takes g and what came before it off the queue. What came before is on
// disk too, since the engine's log keeps its order; but where a writer was told
// that it is not, nothing after it counts either, and reviving drops it all.
func (l *Log) pop(g *growth, err error) ([]*growth, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for i, q := range l.queue {
		if err == nil && q.lost {
			err = ErrDisk
		}
		if q == g {
			if err != nil {
				g.lost = true
				return nil, err
			}
			ready := slices.Clone(l.queue[:i+1])
			l.queue = slices.Delete(l.queue, 0, i+1)
			return ready, nil
		}
	}
	return nil, nil // a later growth's writer has settled this one
}

// flushed waits until all that was on its way to the disk is there.
func (l *Log) flushed(e *engine) error {
	l.mu.Lock()
	var last *growth
	if n := len(l.queue); n > 0 {
		last = l.queue[n-1]
	}
	l.mu.Unlock()
	if last == nil {
		return e.failure()
	}
	return l.settle(e, last)
}
