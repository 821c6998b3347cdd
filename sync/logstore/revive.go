package logstore

import (
	"errors"
	"fmt"
	"time"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
)

// Reopen tries to write again after the disk failed, without waiting for the
// next write to do so. It gives ErrDisk where that is not possible yet, and nil
// where nothing had failed.
func (s *Store) Reopen() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return ErrClosed
	}
	if s.eng.failure() == nil {
		return nil
	}
	return s.revive(true)
}

// revive replaces an engine that failed with a new one, unless somebody is
// still reading from it. Entries whose writers were told that they are not
// stored are dropped, whatever the disk kept of them, so that writing them
// again does not double them. The caller holds s.mu.
func (s *Store) revive(now bool) error {
	broken := s.eng.failure()
	if s.users > 0 || !now && time.Since(s.tried) < reviveAfter {
		return broken
	}
	s.tried = time.Now()
	if err := s.room(); err != nil {
		return err
	}
	s.eng.disk.end()
	e, err := s.writable()
	if err != nil {
		return err // and read on from the old one
	}
	for _, l := range s.farms {
		if err := l.rewind(e); err != nil {
			return errors.Join(err, e.close())
		}
	}
	_ = s.eng.close()
	s.eng = e
	s.log.Info("store: writing again", "dir", s.dir)
	return nil
}

// rewind takes the log on disk back to what was acknowledged.
func (l *Log) rewind(e *engine) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	disk, err := loadState(e.db, l.farm)
	if err != nil {
		return err
	}
	good := l.durable.Load()
	b := e.db.NewBatch()
	var lost error
	for _, h := range disk.heads {
		err = errors.Join(err, cutBack(b, h, good.head(h.Log)))
	}
	for _, h := range good.heads {
		if d := disk.head(h.Log); d == nil || d.Seq < h.Seq {
			lost = fmt.Errorf("%w: the disk lost entries of %s that it had acknowledged", ErrCorrupt, h.Log)
		}
	}
	if err = errors.Join(err, lost); err != nil {
		return err
	}
	l.next, l.queue = good, nil
	if b.Empty() {
		return b.Close()
	}
	return e.write(b)
}

// cutBack removes what a log holds beyond the head that it should have; nil
// for none.
func cutBack(b *pebble.Batch, has, want *chain.Head) error {
	var keep uint64
	if want != nil {
		keep = want.Seq
	}
	if has.Seq <= keep {
		return nil
	}
	var err error
	for _, space := range []byte{spaceEntry, spaceSignature} {
		from := seqKey(space, has.Farm, has.Log, keep+1)
		err = errors.Join(err, b.DeleteRange(from, after(from[:headLen]), nil))
	}
	if want == nil {
		return errors.Join(err, b.Delete(logKey(spaceHead, has.Farm, has.Log), nil))
	}
	return errors.Join(err, putHead(b, want))
}
