package logstore

import (
	"errors"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// Runs reads a log from an entry on, as far as it is durably stored,
// in runs of exchange.MaxRun that add up to maxBytes; and whether there is more.
// A run can end only where a signature is held, so it may be longer, and the
// first is given whatever its length. A branch is given from where it parts.
func (l *Log) Runs(name entry.LogID, from uint64, maxBytes int) ([]entry.Run, bool, error) {
	e, err := l.store.reading()
	if err != nil {
		return nil, false, err
	}
	defer l.store.done()
	lane, ok := l.durable.Load().lane(name)
	from = max(from, lane.first)
	if !ok || from > lane.head.Seq {
		return nil, false, nil
	}
	c, err := newCutter(e.db, lane, from)
	if err != nil {
		return nil, false, err
	}
	defer c.close()
	var runs []entry.Run
	for c.left() {
		run, err := c.cut(min(exchange.MaxRun, maxBytes))
		if err != nil {
			return nil, false, err
		}
		if maxBytes -= run.Size(); maxBytes < 0 && len(runs) > 0 {
			l.give(e, runs)
			return runs, true, nil
		}
		runs = append(runs, run)
	}
	l.give(e, runs)
	return runs, false, nil
}

// cutter cuts a log into runs at the signatures that are held.
type cutter struct {
	device entry.DeviceID
	head   *chain.Head
	rows   *rows
	ends   *pebble.Iterator // over the log's signatures
	read   []([]byte)       // entries that have been read, from next on
	next   uint64           // the first entry of the next run
	bytes  arena
}

func newCutter(db pebble.Reader, l lane, from uint64) (*cutter, error) {
	h := l.head
	rows, err := entryRows(db, h.Farm, h.Log, from, h.Seq)
	if err != nil {
		return nil, err
	}
	ends, err := db.NewIter(&pebble.IterOptions{
		LowerBound: logKey(spaceSignature, h.Farm, h.Log),
		UpperBound: seqKey(spaceSignature, h.Farm, h.Log, h.Seq+1),
	})
	if err != nil {
		rows.close()
		return nil, err
	}
	return &cutter{device: l.device, head: h, rows: rows, ends: ends, next: from}, nil
}

func (c *cutter) left() bool { return c.next <= c.head.Seq }

func (c *cutter) close() {
	c.rows.close()
	_ = c.ends.Close()
}

// cut gives the next run: up to the last signature within most bytes, or the
// first beyond them.
func (c *cutter) cut(most int) (entry.Run, error) {
	run := entry.Run{Device: c.device, First: c.next}
	reach, err := c.reach(most)
	if err != nil {
		return run, err
	}
	e, err := c.end(reach)
	if err != nil {
		return run, err
	}
	for c.next+uint64(len(c.read)) <= e.seq {
		if _, err := c.pull(); err != nil {
			return run, err
		}
	}
	n := int(e.seq + 1 - c.next)
	run.Entries, run.Sig = c.read[:n:n], e.sig
	c.read, c.next = c.read[n:], e.seq+1
	return run, nil
}

// reach reads entries of most bytes in all, and gives the number of the last.
func (c *cutter) reach(most int) (uint64, error) {
	size := (&entry.Run{Entries: c.read}).Size()
	for size <= most && c.rows.more() {
		n, err := c.pull()
		if err != nil {
			return 0, err
		}
		size += n
	}
	fits := uint64(len(c.read))
	if size > most && fits > 1 {
		fits--
	}
	return c.next + fits - 1, nil
}

// pull reads one more entry, and gives about how many bytes it takes up.
func (c *cutter) pull() (int, error) {
	raw, err := c.rows.next()
	if err != nil {
		return 0, err
	}
	c.read = append(c.read, c.bytes.keep(raw))
	return len(raw) + 3, nil
}

// end is where to cut: the last signature from next to reach, or the first
// after it.
func (c *cutter) end(reach uint64) (end, error) {
	key := seqKey(spaceSignature, c.head.Farm, c.head.Log, reach+1)
	if c.ends.SeekLT(key) && seqOf(c.ends.Key()) >= c.next {
		return readEnd(c.ends.Key(), c.ends.Value())
	}
	if c.ends.SeekGE(key) {
		return readEnd(c.ends.Key(), c.ends.Value())
	}
	return end{}, errors.Join(damaged(logKey(spaceHead, c.head.Farm, c.head.Log), "its last entry has no signature"), c.ends.Error())
}

// arena keeps copies of many small byte slices in few large ones.
type arena struct{ free []byte }

const arenaBlock = 32 << 10

func (a *arena) keep(b []byte) []byte {
	if len(b) > cap(a.free)-len(a.free) {
		a.free = make([]byte, 0, max(arenaBlock, len(b)))
	}
	n := len(a.free)
	a.free = append(a.free, b...)
	return a.free[n:len(a.free):len(a.free)]
}
