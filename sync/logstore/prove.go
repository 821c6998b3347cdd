package logstore

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/exchange"
)

// errHole reports a database that lacks what was acknowledged.
var errHole = fmt.Errorf("%w: it lacks what was on disk", ErrCorrupt)

// prove checks a database against the store's mark, before anything else is
// done to it. The mark is nil where there is none that counts.
func (s *Store) prove(e *engine) (*mark, error) {
	n, err := number(e.db, metaCount)
	if err != nil {
		return nil, err
	}
	g, err := get(e.db, metaGeneration)
	if err != nil {
		return nil, err
	}
	e.count = n
	text, err := readMark(s.fs, s.dir)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("%w: %w", ErrDisk, err)
	}
	m := parseMark(text)
	if g != nil && m.generation != exchange.Generation(g) {
		m = nil
	} else if n < m.count {
		return nil, fmt.Errorf("%w: it ends at write %d, and %d were acknowledged", errHole, n, m.count)
	}
	if m == nil && n > 0 || m != nil && m.torn && len(text) > 0 {
		s.log.Warn("store: its mark is damaged, and is made anew", "dir", s.dir)
	}
	return m, s.unlisted(e)
}

// marked has the engine's writes marked from now on. Of a log of which the mark
// does not tell for certain, all that is here may have been given to others.
func (s *Store) marked(e *engine, m *mark) error {
	if m == nil || m.torn || m.generation == (exchange.Generation{}) {
		var lines []line
		for _, l := range m.owned() {
			h, err := headOf(e.db, l.log)
			if err != nil {
				return err
			}
			l.seq, l.given = max(l.seq, h.Seq), max(l.given, h.Seq)
			lines = append(lines, l)
		}
		if err := writeNewMark(e, lines); err != nil {
			return err
		}
	}
	d, err := readDamage(e.db)
	if err != nil {
		return err
	}
	e.unproved.Store(d != nil && d.Unproved)
	opened := make(chan *mark, 1)
	err = e.try(func() error {
		m, err := openMark(e.disk, s.dir)
		opened <- m
		e.disk.release()
		return err
	})
	if err == nil {
		e.mark = <-opened
	}
	return err
}

// writeNewMark makes a mark of a database as it stands, with lines for the logs
// that are recorded to there.
func writeNewMark(e *engine, owned []line) error {
	g, err := get(e.db, metaGeneration)
	if err != nil {
		return err
	}
	lines := append([]line{{count: e.count}}, owned...)
	return e.try(func() error { return writeMark(e.disk, e.disk.dir, exchange.Generation(g), lines) })
}

// headOf is a log's head on disk; empty where it has none.
func headOf(db pebble.Reader, n logName) (chain.Head, error) {
	v, err := get(db, logKey(spaceHead, n.farm, n.log))
	if v == nil || err != nil {
		return chain.Head{}, err
	}
	h, _, err := readHead(n.farm, n.log, v)
	return h, err
}

// unlisted checks that tables that the engine does not count as its own, and
// is about to remove, hold nothing that the database lacks: where its list of
// tables lost its end, they do.
func (s *Store) unlisted(e *engine) error {
	names, err := s.fs.List(s.dir)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrDisk, err)
	}
	levels, err := e.db.SSTables()
	if err != nil {
		return err
	}
	listed := map[string]bool{}
	for _, tables := range levels {
		for _, t := range tables {
			listed[fmt.Sprintf("%06d.sst", uint64(t.FileNum))] = true
		}
	}
	for _, name := range names {
		if !strings.HasSuffix(name, ".sst") || listed[name] {
			continue
		}
		var lacks []byte
		_ = readTable(s.fs, s.fs.PathJoin(s.dir, name), func(key []byte, _ uint64, value []byte) {
			if lacks == nil && key[0] == spaceEntry && value != nil {
				if v, err := get(e.db, key); v == nil || err != nil {
					lacks = append(lacks, key...)
				}
			}
		}, nil) // a table that a crash cut short was never counted on
		if lacks != nil {
			return fmt.Errorf("%w: %s is in %s alone", errHole, describe(lacks), name)
		}
	}
	return nil
}

// scanTail looks whether the engine's latest log is damaged where it had been
// synced. The engine itself passes over that in a log's last block.
func (s *Store) scanTail() error {
	names, err := s.fs.List(s.dir)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrDisk, err)
	}
	name := ""
	for _, n := range names {
		if strings.HasSuffix(n, ".log") && n > name {
			name = n
		}
	}
	var log uint32
	if _, err := fmt.Sscanf(name, "%d.log", &log); err != nil {
		return nil // there is none
	}
	data, err := readFile(s.fs, s.fs.PathJoin(s.dir, name))
	if err != nil {
		return fmt.Errorf("%w: %w", ErrDisk, err)
	}
	if holed(data, log) {
		return fmt.Errorf("%w: %s is damaged before its end", errHole, name)
	}
	return nil
}

// number is a number of the store's own; 0 where it has none.
func number(db pebble.Reader, key []byte) (uint64, error) {
	v, err := get(db, key)
	if err != nil || v == nil {
		return 0, err
	}
	if len(v) != 8 {
		return 0, damaged(key, "wrong length")
	}
	return binary.BigEndian.Uint64(v), nil
}
