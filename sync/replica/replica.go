// Package replica is one farm's record on one machine: its log, the state that
// the log's entries add up to, and the answers that it gives to others. Servers
// and devices run the same one, since a server is but one more replica.
//
// A [Replica] takes entries in, durably and then into the state, and tells who
// listens. A [Handler] answers for one or many: it checks who calls, and on what.
package replica

import (
	"context"
	"crypto/ed25519"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// Log is one farm's record as it is kept, on a disk or in a browser. It is
// safe for concurrent use, and what it says it holds is durable.
type Log interface {
	exchange.Log
	// Head is where a device's log stands.
	Head(d entry.DeviceID) (chain.Head, bool)
	// Record writes a device's own next entries, all or none.
	Record(key ed25519.PrivateKey, d entry.DeviceID, wall int64, seen chain.Frontier, writes ...entry.Draft) ([]entry.Entry, error)
	// Take checks runs, and keeps those that are right.
	Take(runs []entry.Run) (exchange.Taken, error)
	// Each gives all entries beyond some heads, in total order.
	Each(from []chain.Head, fn func(entry.Entry) error) error
	// Fold is a saved state of the record, to be closed, and the heads up to
	// which entries went into it; nil where there is none. SaveFold keeps one.
	Fold() (heads []chain.Head, fold io.ReadCloser, err error)
	SaveFold(frontier chain.Frontier, heads []chain.Head, fold []byte) error
	// OnStored has fn told of entries once they are durable, each device's in
	// order, before the Record or Take that brought them returns.
	OnStored(fn func([]entry.Entry))
}

// Replica is one farm's record with its state. It is safe for concurrent use.
type Replica struct {
	id  entry.FarmID
	gen exchange.Generation
	log Log

	wall func() int64 // for budgets; nil where none are kept

	porter  *porter    // nil where this is no server, or one that refuses to be one
	taken   func()     // as OnTaken says; nil for nobody
	hears   func()     // as OnChanged says; nil for nobody
	viewed  func()     // as OnView says; nil for nobody
	keeping sync.Mutex // held while logs of devices that do not belong are counted and taken

	mu      sync.Mutex
	state   *farm.State
	changed chan struct{}  // closed at the next change
	unsaved int            // entries since the state was saved
	forked  *wire.Forks    // forked logs as they were last read; nil while there is none
	read    chain.Frontier // the branches that were read then
}

// Open reads a farm's record into its state, and follows it from there on; so
// nobody may write to the log meanwhile. The generation names the store that
// the log is part of.
func Open(id entry.FarmID, gen exchange.Generation, log Log) (*Replica, error) {
	r := &Replica{id: id, gen: gen, log: log, changed: make(chan struct{})}
	heads, err := r.load()
	if err != nil {
		return nil, err
	}
	tail := 0
	err = log.Each(heads, func(e entry.Entry) error {
		r.state.Apply(e)
		tail++
		return nil
	})
	if err != nil {
		return nil, err
	}
	if r.unsaved = tail; tail >= saveAfter {
		_ = r.save() // the log has everything: without a saved fold, opening only takes longer
	}
	log.OnStored(r.stored)
	if l, ok := log.(interface {
		NamedBy(func(entry.DeviceID) (held, wanted []entry.Mark))
	}); ok {
		l.NamedBy(r.named)
	}
	return r, r.reread()
}

// stored brings entries that are on disk into the state.
func (r *Replica) stored(es []entry.Entry) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.take(es)
	r.unsaved += len(es)
	r.tell()
}

// tell wakes whoever waits for a change; under mu.
func (r *Replica) tell() {
	close(r.changed)
	r.changed = make(chan struct{})
	if r.hears != nil {
		r.hears()
	}
}

// Farm is the farm's ID.
func (r *Replica) Farm() entry.FarmID { return r.id }

// Generation names the store that holds the record.
func (r *Replica) Generation() exchange.Generation { return r.gen }

// Log is the record itself.
func (r *Replica) Log() Log { return r.log }

// Record writes a device's own next entries, by all that the state knows. They
// are durable when it returns.
func (r *Replica) Record(key ed25519.PrivateKey, d entry.DeviceID, wall int64, writes ...entry.Draft) ([]entry.Entry, error) {
	r.mu.Lock()
	seen, branches := r.seen()
	r.mu.Unlock()
	if head, ok := r.log.Head(d); ok && len(writes) > 0 {
		writes = slices.Clone(writes)
		writes[0].Seen = append(newer(&head, branches), writes[0].Seen...)
	}
	return r.log.Record(key, d, wall, seen, writes...)
}

// Frontier is how far the record is durably stored here.
func (r *Replica) Frontier() chain.Frontier { return r.log.Frontier() }

// Have is all that is durably stored here, the other branches of forked logs
// among it: what another replica needs to know to say what is missing.
func (r *Replica) Have() chain.Frontier { return exchange.Have(r.log) }

// Missing is what the holder of a frontier lacks of the record, in runs of
// maxBytes in all, and whether that leaves more.
func (r *Replica) Missing(have chain.Frontier, maxBytes int) ([]entry.Run, bool, error) {
	return exchange.Missing(r.log, have, maxBytes)
}

// Changed gives a channel that is closed when the next entries come in.
func (r *Replica) Changed() <-chan struct{} {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.changed
}

// OnChanged has fn called at each change, once the state has it. It must not
// ask the replica for anything. It is set once, before the first call.
func (r *Replica) OnChanged(fn func()) { r.hears = fn }

// View is the farm as it stands.
func (r *Replica) View() *farm.View {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.state.ViewBy(func(n int, do func(i int)) {
		if r.viewed != nil {
			r.viewed()
		}
		atOnce(n, do)
	})
}

// OnView has fn called each time that a view is worked out, which takes time
// that grows with the record. It is set as OnChanged is.
func (r *Replica) OnView(fn func()) { r.viewed = fn }

// atOnce does n things, as many at a time as there are processors. It panics
// where one of them does.
func atOnce(n int, do func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	var failed atomic.Value
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					failed.CompareAndSwap(nil, fmt.Sprintf("%v\n%s", p, debug.Stack()))
				}
			}()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	if wg.Wait(); failed.Load() != nil {
		panic(failed.Load())
	}
}

// Digest is the canonical digest of the state.
func (r *Replica) Digest() [32]byte {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.state.Digest()
}

// Read shows the state to fn, which must not keep it.
func (r *Replica) Read(fn func(*farm.State)) {
	r.mu.Lock()
	defer r.mu.Unlock()
	fn(r.state)
}

// Unlikely tries what a writer is about to write, and gives the slips that it
// would be in doubt for; see [farm.State.Unlikely].
func (r *Replica) Unlikely(w farm.Writer, bodies ...entry.Body) []farm.Doubt {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.state.Unlikely(w, bodies...)
}

// Device is a device that the record names.
func (r *Replica) Device(d entry.DeviceID) (farm.Device, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.state.Device(d)
}

// Exchange takes what the asker brings and answers with what it lacks. What
// the answer calls stored is durable.
func (r *Replica) Exchange(req exchange.Request) (exchange.Response, error) {
	resp := exchange.Response{Generation: r.gen, ReadsBrief: true}
	if len(req.Runs) > 0 {
		taken, err := r.Take(req.Runs)
		if err != nil {
			return exchange.Response{}, err
		}
		resp.Refusals = taken.Refused
	}
	resp.Porter = r.Porter()
	resp.Stored = r.Have()
	var err error
	if resp.Have, resp.Unknown, err = req.Holds(resp.Stored); err != nil {
		return exchange.Response{}, err
	}
	resp.Runs, resp.More, err = exchange.Missing(r.log, resp.Have, budget(req.MaxBytes))
	return resp, err
}

// budget is the bytes of runs that an answer may have.
func budget(wanted int) int {
	if wanted <= 0 {
		return exchange.UsualBatch
	}
	return min(wanted, exchange.MaxBatch)
}

// Watch tells a device how far the record is stored beyond what it has, or has
// been told: once at the start, and after each change. It ends with the
// context's error, with send's, or when the device may watch no longer.
func (r *Replica) Watch(ctx context.Context, d entry.DeviceID, told chain.Frontier, send func(news chain.Frontier) error) error {
	for {
		changed := r.Changed()
		if err := r.Belongs(d); err != nil {
			return err
		}
		have := r.Have()
		if err := send(have.Beyond(told)); err != nil {
			return err
		}
		told = have
		select {
		case <-changed:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}
