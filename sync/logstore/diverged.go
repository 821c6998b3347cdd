package logstore

import (
	"errors"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// Diverged says whether a mark lies on another branch of a log than the one held
// here, and where to begin showing that, as exchange.Log says.
func (l *Log) Diverged(m chain.Mark) (diverged bool, from uint64, err error) {
	s := l.durable.Load()
	h := s.head(m.Log)
	if h == nil || m.Seq == 0 || m.Seq > h.Seq || m == h.Mark() {
		return false, 0, nil
	}
	e, err := l.store.reading()
	if err != nil {
		return false, 0, err
	}
	defer l.store.done()
	hash, err := hashAt(e.db, h, beginning(h), m.Seq)
	if err != nil || [8]byte(hash[:8]) == m.Hash {
		return false, 0, err
	}
	for _, br := range s.branchesOf(m.Log.Device()) {
		if on, err := br.holds(e.db, m); on || err != nil {
			return on, 0, err
		}
	}
	from, err = reachBack(e.db, h, m.Seq)
	return true, from, err
}

// Known is how far the holder of have holds a branch, as exchange.Branching says.
func (l *Log) Known(name entry.LogID, have chain.Frontier) (uint64, error) {
	s := l.durable.Load()
	ln, ok := s.lane(name)
	if !ok {
		return have.Seq(name), nil
	}
	e, err := l.store.reading()
	if err != nil {
		return 0, err
	}
	defer l.store.done()
	if have.Seq(chain.Full(ln.device)) > 0 && l.named != nil {
		held, _ := l.named(ln.device)
		if named, err := ln.last(e.db, held); named == 0 || err != nil {
			return ln.head.Seq, err // more than it would keep
		}
	}
	var marks []entry.Mark
	for _, n := range s.names(ln.device) {
		marks = append(marks, have.Mark(n))
	}
	return ln.last(e.db, marks)
}

// last is the last of some marks that lies on the lane; 0 where none does.
func (ln lane) last(db pebble.Reader, marks []entry.Mark) (uint64, error) {
	last := uint64(0)
	for _, m := range marks {
		if m.Seq <= last || m.Seq < ln.first || m.Seq > ln.head.Seq {
			continue
		}
		hash, err := hashAt(db, ln.head, ln.start, m.Seq)
		if err != nil {
			return 0, err
		}
		if hash.Brief() == m.Hash {
			last = m.Seq
		}
	}
	return last, nil
}

// holds says whether a mark of the device lies on the branch, or beyond its end
// as it is held here.
func (br *branch) holds(db pebble.Reader, m chain.Mark) (bool, error) {
	if m.Seq < br.first || m.Seq > br.head.Seq {
		return m.Seq > br.head.Seq, nil
	}
	hash, err := hashAt(db, &br.head, br.start(), m.Seq)
	return err == nil && [8]byte(hash[:8]) == m.Hash, err
}

// reachBack is the number of the entry that lies half of exchange.ShowFork
// before another.
func reachBack(db pebble.Reader, h *chain.Head, seq uint64) (uint64, error) {
	it, err := db.NewIter(&pebble.IterOptions{
		LowerBound: logKey(spaceEntry, h.Farm, h.Log),
		UpperBound: seqKey(spaceEntry, h.Farm, h.Log, seq+1),
	})
	if err != nil {
		return 0, err
	}
	size := 0
	for ok := it.Last(); ok && size < exchange.ShowFork/2; ok = it.Prev() {
		size += len(it.Value())
		seq = seqOf(it.Key())
	}
	return seq, errors.Join(it.Error(), it.Close())
}

// Fork is a branch of a device's log that is kept beside it: the device was
// restored from a copy, or cloned, and both went on writing.
type Fork struct {
	Device  entry.DeviceID
	Branch  entry.LogID   // the branch's name, as in Branches; Runs reads it
	First   uint64        // the number from which the branches differ
	Entries []entry.Entry // the branch from there on
	// Unread is why no more than Entries could be read; nil where that is all.
	Unread error
}

// Forks are the branches that are kept beside the devices' logs, as far as they
// are durably stored. Neither branch overwrites the other: these are shown, and
// left out of what Each gives.
func (l *Log) Forks() ([]Fork, error) {
	e, err := l.store.reading()
	if err != nil {
		return nil, err
	}
	defer l.store.done()
	s := l.durable.Load()
	var forks []Fork
	for _, br := range s.branches {
		f, err := s.read(e.db, br)
		if err != nil {
			return nil, err
		}
		forks = append(forks, f)
	}
	return forks, nil
}

// read decodes a branch, which needs what the log said before it parts.
func (s *state) read(db pebble.Reader, br *branch) (Fork, error) {
	f := Fork{Device: br.device, Branch: br.head.Log, First: br.first}
	log := s.head(br.device.Log())
	at := chain.Start(log.Farm, br.device, log.Key)
	dec := wire.NewDecoder(&at)
	err := s.before(db, br, br.first-1, func(raw []byte) error {
		if f.Unread == nil {
			_, f.Unread = dec.Next(raw)
		}
		return nil
	})
	if err != nil {
		return f, err
	}
	return f, eachRow(db, &br.head, br.first, br.head.Seq, func(raw []byte) error {
		if f.Unread != nil {
			return nil
		}
		e, err := dec.Next(raw)
		if f.Unread = err; err == nil {
			f.Entries = append(f.Entries, e)
		}
		return nil
	})
}

// before gives what a branch has up to an entry, but for its own.
func (s *state) before(db pebble.Reader, br *branch, last uint64, fn func([]byte) error) error {
	log, from := s.head(br.device.Log()), uint64(1)
	for _, o := range s.branches {
		if o.head.Log == br.on {
			if err := s.before(db, o, o.first-1, fn); err != nil {
				return err
			}
			log, from = &o.head, o.first
		}
	}
	return eachRow(db, log, from, last, fn)
}

func eachRow(db pebble.Reader, h *chain.Head, first, last uint64, fn func([]byte) error) error {
	rows, err := entryRows(db, h.Farm, h.Log, first, last)
	if err != nil {
		return err
	}
	defer rows.close()
	for rows.more() {
		raw, err := rows.next()
		if err != nil {
			return err
		}
		if err := fn(raw); err != nil {
			return err
		}
	}
	return nil
}
