package logstore

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// foldPart is the most bytes of a saved fold that lie under one key, so that
// the first are in use while the next are read.
const foldPart = 64 << 10

// SaveFold keeps a fold of the record, so that opening need not read all of
// it: the heads up to which entries went in, and how far they took effect,
// which is no further. It is not synced: what a crash takes is folded again.
func (l *Log) SaveFold(frontier chain.Frontier, heads []chain.Head, fold []byte) error {
	b := binary.AppendUvarint(nil, uint64(len(heads)))
	for i := range heads {
		b = append(b, heads[i].Log[:]...)
		b = appendHead(b, &heads[i])
	}
	if !chain.Reached(heads).Covers(frontier) {
		return fmt.Errorf("logstore: a fold that took effect further than its entries go")
	}
	parts := slices.Collect(slices.Chunk(fold, foldPart))
	b = binary.AppendUvarint(b, uint64(len(parts)))
	return l.store.unsynced(func(batch *pebble.Batch) error {
		key := farmKey(spaceFold, l.farm)
		if err := batch.DeleteRange(key, after(key), nil); err != nil {
			return err
		}
		errs := []error{put(batch, key, b)}
		for i, part := range parts {
			errs = append(errs, put(batch, foldKey(l.farm, i), part))
		}
		return errors.Join(errs...)
	})
}

// Fold is what SaveFold kept, to be closed: nil where nothing is, or where it
// stands for entries that are not stored here.
func (l *Log) Fold() (heads []chain.Head, fold io.ReadCloser, err error) {
	e, err := l.store.reading()
	if err != nil {
		return nil, nil, err
	}
	f := &foldReader{log: l, db: e.db.NewSnapshot()}
	if heads, err = f.head(); heads == nil || err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	return heads, f, nil
}

// foldReader reads a saved fold part by part.
type foldReader struct {
	log         *Log
	db          *pebble.Snapshot
	next, parts int
	left        []byte // of the part before next
	closer      io.Closer
	err         error // that reading ended with
}

// head reads up to which entries the fold goes, and how many parts it has.
func (f *foldReader) head() (heads []chain.Head, err error) {
	key := farmKey(spaceFold, f.log.farm)
	v, err := get(f.db, key)
	if v == nil || err != nil {
		return nil, err
	}
	r := parser{b: v}
	for range r.count(entry.MaxDevices) {
		log := entry.LogID(padded(r.bytes(idLen)))
		h, rest, err := readHead(f.log.farm, log, r.b)
		if err != nil {
			return nil, err
		}
		heads, r.b = append(heads, h), rest
	}
	f.parts = r.count(math.MaxInt32)
	if r.bad {
		return nil, damaged(key, "torn")
	}
	if len(r.b) > 0 {
		return nil, nil // as older versions kept it, all under one key
	}
	if stands, err := f.log.hold(f.db, heads); !stands || err != nil {
		return nil, err
	}
	return heads, nil
}

func (f *foldReader) Read(b []byte) (int, error) {
	if len(f.left) == 0 && f.err == nil {
		f.err = f.turn()
	}
	if f.err != nil { // for good: what follows a part that cannot be read is of no use
		return 0, f.err
	}
	n := copy(b, f.left)
	f.left = f.left[n:]
	return n, nil
}

// turn goes on to the next part; io.EOF where there is none.
func (f *foldReader) turn() error {
	if f.next == f.parts {
		return io.EOF
	}
	key := foldKey(f.log.farm, f.next)
	value, closer, err := f.db.Get(key)
	if errors.Is(err, pebble.ErrNotFound) {
		return damaged(key, "missing")
	}
	if err != nil {
		return unreadable(key, err)
	}
	err = f.put(closer)
	f.next++
	var bad error
	f.left, bad = payload(key, value)
	return errors.Join(err, bad)
}

// put holds on to what a part lies in, and lets go of the one before.
func (f *foldReader) put(closer io.Closer) error {
	old := f.closer
	f.closer = closer
	if old == nil {
		return nil
	}
	return old.Close()
}

// Close lets go of the store, which nobody can close before.
func (f *foldReader) Close() error {
	defer f.log.store.done()
	return errors.Join(f.put(nil), f.db.Close())
}

// padded is b, or as many zeros where it came up short.
func padded(b []byte) []byte {
	if b == nil {
		return make([]byte, idLen)
	}
	return b
}

// hold says whether heads are of logs as they are stored here.
func (l *Log) hold(db pebble.Reader, heads []chain.Head) (bool, error) {
	now := l.durable.Load()
	for i := range heads {
		h := now.head(heads[i].Log)
		if h == nil || h.Seq < heads[i].Seq {
			return false, nil
		}
		hash, err := hashAt(db, h, beginning(h), heads[i].Seq)
		if err != nil || hash != heads[i].Hash {
			return false, err
		}
	}
	return true, nil
}

// SetPeer keeps how far a peer is known to hold the record durably. It is not
// synced: a crash may leave an earlier frontier, which claims less.
func (l *Log) SetPeer(name string, f chain.Frontier) error {
	return l.store.unsynced(func(b *pebble.Batch) error {
		return put(b, peerKey(l.farm, name), appendFrontier(nil, f))
	})
}

// Peer is what SetPeer kept; empty where nothing is.
func (l *Log) Peer(name string) (chain.Frontier, error) {
	e, err := l.store.reading()
	if err != nil {
		return nil, err
	}
	defer l.store.done()
	v, err := get(e.db, peerKey(l.farm, name))
	if v == nil || err != nil {
		return nil, err
	}
	f, _, err := readFrontier(v)
	return f, err
}

// unsynced writes values that may be lost by a crash, all or none, though not
// changed.
func (s *Store) unsynced(fill func(*pebble.Batch) error) error {
	e, err := s.writing()
	if err != nil {
		return err
	}
	defer s.done()
	b := e.db.NewBatch()
	if err := fill(b); err != nil {
		return err
	}
	return e.unsynced(b)
}

// Setting is a setting of the program around the store; nil where it is not
// set.
func (s *Store) Setting(key string) ([]byte, error) {
	e, err := s.reading()
	if err != nil {
		return nil, err
	}
	defer s.done()
	return get(e.db, nameKey(spaceSetting, key))
}

// SetSettings sets settings, all or none, and returns once they are on disk. A
// nil value unsets.
func (s *Store) SetSettings(kv map[string][]byte) error {
	e, err := s.writing()
	if err != nil {
		return err
	}
	defer s.done()
	b := e.db.NewBatch()
	for k, v := range kv {
		key := nameKey(spaceSetting, k)
		if v == nil {
			err = errors.Join(err, b.Delete(key, nil))
		} else {
			err = errors.Join(err, put(b, key, v))
		}
	}
	if err != nil {
		return err
	}
	return e.write(b)
}
