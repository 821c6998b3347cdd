package logstore

import (
	"errors"
	"fmt"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// Taken is what became of runs that were offered to a log.
type Taken = exchange.Taken

// Refusal is a run that was not taken.
type Refusal = exchange.Refusal

// Take checks runs and stores those that are good, in one synced write; it
// returns once they are on disk. A run that is not taken is among Refused,
// with a reason: chain.ErrGap, entry.ErrSignature, a *chain.ForkError (with
// the other branch kept, see Forks), exchange.ErrMalformed or
// ErrBound. A run that brings nothing new is passed over. The error is for
// what kept all runs from being stored, ErrDisk above all.
func (l *Log) Take(runs []entry.Run) (Taken, error) {
	e, err := l.store.writing()
	if err != nil {
		return Taken{}, err
	}
	defer l.store.done()
	p, g, err := l.take(e, runs)
	if err != nil {
		return Taken{}, err
	}
	if g == nil {
		err = l.flushed(e)
	} else {
		err = l.settle(e, g)
	}
	if err != nil {
		return Taken{}, err
	}
	p.taken.New = l.Frontier()
	return p.taken, nil
}

// take checks the runs outside the lock, as that takes long; where the log has
// grown meanwhile under one of them, it checks again.
func (l *Log) take(e *engine, runs []entry.Run) (*intake, *growth, error) {
	l.mu.Lock()
	base := l.next
	l.mu.Unlock()
	p := newIntake(l.farm, e.db, base)
	p.wanted = l.wanted(base)
	if err := p.check(runs); err != nil {
		return nil, nil, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if !p.holds(l.next) {
		wanted := p.wanted
		p = newIntake(l.farm, e.db, l.next)
		p.wanted = wanted
		if err := p.check(runs); err != nil {
			return nil, nil, err
		}
	}
	if p.empty() {
		return p, nil, nil
	}
	b := e.db.NewBatch()
	if err := p.put(b); err != nil {
		return nil, nil, err
	}
	next := l.next.with(p.heads()...).withBranches(p.branches()...)
	g, err := l.submit(e, b, next, p.taken.Entries, nil)
	return p, g, err
}

// intake is runs on their way into a log.
type intake struct {
	farm   entry.FarmID
	db     pebble.Reader
	base   *state
	logs   []*grown
	asides []*aside
	taken  Taken

	wanted map[entry.DeviceID][]entry.Mark // of devices of which many branches are kept: see NamedBy
}

// grown is one device's log with what runs added to it.
type grown struct {
	base *chain.Head // nil where the device is new
	head chain.Head
	raws [][]byte // entries beyond base
	ends []end
}

// end is the end of a run: where a log can be cut.
type end struct {
	seq  uint64
	hash entry.Hash
	sig  entry.Signature
}

func newIntake(farm entry.FarmID, db pebble.Reader, base *state) *intake {
	return &intake{farm: farm, db: db, base: base}
}

// check takes in the runs that are good. The error is for a store that cannot
// be read.
func (p *intake) check(runs []entry.Run) error {
	for _, r := range runs {
		err := p.run(r)
		if unread := (*readError)(nil); errors.As(err, &unread) {
			return unread.err
		}
		if err != nil {
			p.taken.Refused = append(p.taken.Refused, Refusal{Device: r.Device, First: r.First, Err: err})
		}
	}
	return nil
}

// readError is trouble with the store, not with a run.
type readError struct{ err error }

func (e *readError) Error() string { return e.err.Error() }

func (p *intake) run(r entry.Run) error {
	if err := bounded(r); err != nil {
		return err
	}
	g, err := p.log(r)
	if err != nil {
		return err
	}
	held := p.held(g)
	defer held.close()
	v, next, entries, err := wire.Open(g.head, r, held.at)
	if errors.Is(err, chain.ErrEmpty) {
		return nil
	}
	if err != nil {
		return p.refused(g, r, err)
	}
	if g.head.Seq == 0 {
		p.logs = append(p.logs, g)
	}
	g.head = next
	g.raws = append(g.raws, v.Run().Entries...)
	g.ends = append(g.ends, end{next.Seq, next.Hash, r.Sig})
	p.taken.Entries = append(p.taken.Entries, entries...)
	return nil
}

// bounded checks a run's bounds before anything is made of its bytes.
func bounded(r entry.Run) error {
	if size := r.Size(); size > exchange.MaxRun && len(r.Entries) > 1 {
		return fmt.Errorf("%w: run of %d bytes, %d at most", exchange.ErrBound, size, exchange.MaxRun)
	}
	for i, raw := range r.Entries {
		if len(raw) > entry.MaxRaw {
			return fmt.Errorf("%w: entry %d of %d bytes, %d at most", exchange.ErrBound, r.First+uint64(i), len(raw), entry.MaxRaw)
		}
	}
	return nil
}

// log is the log that a run adds to, as far as it has come.
func (p *intake) log(r entry.Run) (*grown, error) {
	for _, g := range p.logs {
		if g.head.Log == r.Device.Log() {
			return g, nil
		}
	}
	if h := p.base.head(r.Device.Log()); h != nil {
		g := &grown{base: h, head: *h}
		p.logs = append(p.logs, g)
		return g, nil
	}
	if n := p.devices(); n >= entry.MaxDevices {
		return nil, fmt.Errorf("%w: %d devices, %d at most", exchange.ErrBound, n, entry.MaxDevices)
	}
	if r.First != 1 || len(r.Entries) == 0 {
		return nil, fmt.Errorf("%w: it starts at %d, held is none", chain.ErrGap, r.First)
	}
	h, err := wire.Start(p.farm, r.Device, r.Entries[0])
	return &grown{head: h}, err
}

func (p *intake) devices() int {
	n := len(p.base.heads)
	for _, g := range p.logs {
		if g.base == nil {
			n++
		}
	}
	return n
}

// holds says whether all that was checked still follows on the log as it is.
func (p *intake) holds(now *state) bool {
	if now == p.base {
		return true
	}
	for _, g := range p.logs {
		if now.head(g.head.Log) != g.base {
			return false
		}
	}
	return len(p.taken.Refused) == 0
}

func (p *intake) empty() bool { return len(p.taken.Entries) == 0 && len(p.branches()) == 0 }

// heads are the new heads.
func (p *intake) heads() []*chain.Head {
	var heads []*chain.Head
	for _, g := range p.logs {
		if len(g.raws) > 0 {
			head := g.head // the state keeps it, and nothing else of what was taken
			heads = append(heads, &head)
		}
	}
	return heads
}

// put adds all that is new to a batch.
func (p *intake) put(b *pebble.Batch) error {
	for _, g := range p.logs {
		if len(g.raws) == 0 {
			continue
		}
		if err := errors.Join(g.put(b), putHead(b, &g.head)); err != nil {
			return err
		}
	}
	for _, a := range p.asides {
		if err := a.put(b); err != nil {
			return err
		}
	}
	for _, br := range p.branches() {
		if err := putBranch(b, br); err != nil {
			return err
		}
	}
	return nil
}

// NamedBy has fn say, where many branches of a device's log are kept, how far
// others had named those that are here, and which of its entries that are not:
// no other branches are kept beyond those, or sent to who has as many. It is set
// before the first Take, and must not call the log.
func (l *Log) NamedBy(fn func(d entry.DeviceID) (held, wanted []entry.Mark)) { l.named = fn }

func (l *Log) wanted(s *state) map[entry.DeviceID][]entry.Mark {
	if l.named == nil {
		return nil
	}
	all := map[entry.DeviceID][]entry.Mark{}
	for _, d := range s.full() {
		_, all[d] = l.named(d)
	}
	return all
}

// put adds a log's new entries and signatures to a batch.
func (g *grown) put(b *pebble.Batch) error {
	h := &g.head
	seq := h.Seq - uint64(len(g.raws))
	key := seqKey(spaceEntry, h.Farm, h.Log, 0)
	for _, raw := range g.raws {
		seq++
		if err := put(b, withSeq(key, seq), raw); err != nil {
			return err
		}
	}
	key[0] = spaceSignature
	for _, e := range g.ends {
		if err := put(b, withSeq(key, e.seq), e.hash[:], e.sig[:]); err != nil {
			return err
		}
	}
	return nil
}
