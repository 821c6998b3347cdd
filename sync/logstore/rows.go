package logstore

import (
	"fmt"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/entry"
)

// held reads the entries that a run repeats: those on disk, then those that
// the runs before it brought.
type held struct {
	db   pebble.Reader
	g    *grown
	base uint64 // entries of the log in db
	rows *rows
}

func (p *intake) held(g *grown) *held {
	return &held{db: p.db, g: g, base: g.head.Seq - uint64(len(g.raws))}
}

// at gives entry seq. Calls come in rising order.
func (h *held) at(seq uint64) ([]byte, error) {
	if seq > h.base {
		return h.g.raws[seq-h.base-1], nil
	}
	if h.rows == nil {
		rows, err := entryRows(h.db, h.g.head.Farm, h.g.head.Log, seq, h.base)
		if err != nil {
			return nil, &readError{err}
		}
		h.rows = rows
	}
	raw, err := h.rows.next()
	if err != nil {
		return nil, &readError{err}
	}
	return raw, nil
}

func (h *held) close() {
	if h.rows != nil {
		h.rows.close()
	}
}

// rows reads a stretch of a device's log in order.
type rows struct {
	it        *pebble.Iterator
	begun     bool
	seq, last uint64 // the one read last, and the last wanted
}

func entryRows(db pebble.Reader, farm entry.FarmID, log entry.LogID, first, last uint64) (*rows, error) {
	it, err := db.NewIter(&pebble.IterOptions{
		LowerBound: seqKey(spaceEntry, farm, log, first),
		UpperBound: seqKey(spaceEntry, farm, log, last+1),
	})
	if err != nil {
		return nil, err
	}
	return &rows{it: it, seq: first - 1, last: last}, nil
}

// more says whether next has another entry to give.
func (r *rows) more() bool { return r.seq < r.last }

func (r *rows) move() bool {
	if r.begun {
		return r.it.Next()
	}
	r.begun = true
	return r.it.First()
}

// next gives the next entry's bytes, good until the call after.
func (r *rows) next() ([]byte, error) {
	r.seq++
	if !r.move() {
		if err := r.it.Error(); err != nil {
			return nil, unreadable([]byte{spaceEntry}, err)
		}
		return nil, fmt.Errorf("%w: entry %d is missing at the end of a log", ErrCorrupt, r.seq)
	}
	key := r.it.Key()
	if seqOf(key) != r.seq {
		return nil, fmt.Errorf("%w: entry %d is missing before %s", ErrCorrupt, r.seq, describe(key))
	}
	value, err := r.it.ValueAndErr()
	if err != nil {
		return nil, unreadable(key, err)
	}
	return payload(key, value)
}

func (r *rows) close() { _ = r.it.Close() }
