package logstore

import (
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// SaveFold keeps a fold of the record, so that opening need not read all of
// it: the heads up to which entries went in, and how far they took effect,
// which is no further. It is not synced: what a crash takes is folded again.
func (l *Log) SaveFold(frontier chain.Frontier, heads []chain.Head, fold []byte) error {
	var in chain.Frontier
	b := binary.AppendUvarint(nil, uint64(len(heads)))
	for i := range heads {
		in = in.With(heads[i].Mark())
		b = append(b, heads[i].Device[:]...)
		b = appendHead(b, &heads[i])
	}
	if !in.Covers(frontier) {
		return fmt.Errorf("logstore: a fold that took effect further than its entries go")
	}
	return l.store.unsynced(farmKey(spaceFold, l.farm), b, fold)
}

// Fold is what SaveFold kept: nil where nothing is, or where it stands for
// entries that are not stored here.
func (l *Log) Fold() (heads []chain.Head, fold []byte, err error) {
	e, err := l.store.reading()
	if err != nil {
		return nil, nil, err
	}
	defer l.store.done()
	key := farmKey(spaceFold, l.farm)
	v, err := get(e.db, key)
	if v == nil || err != nil {
		return nil, nil, err
	}
	r := parser{b: v}
	for range r.count(entry.MaxDevices) {
		d := entry.DeviceID(padded(r.bytes(idLen)))
		h, rest, err := readHead(l.farm, d, r.b)
		if err != nil {
			return nil, nil, err
		}
		heads, r.b = append(heads, h), rest
	}
	if r.bad {
		return nil, nil, damaged(key, "torn")
	}
	stands, err := l.hold(e.db, heads)
	if !stands || err != nil {
		return nil, nil, err
	}
	return heads, r.b, nil
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
		h := now.head(heads[i].Device)
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
	return l.store.unsynced(peerKey(l.farm, name), appendFrontier(nil, f))
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

// unsynced writes one value that may be lost by a crash, though not changed.
func (s *Store) unsynced(key []byte, parts ...[]byte) error {
	e, err := s.writing()
	if err != nil {
		return err
	}
	defer s.done()
	b := e.db.NewBatch()
	if err := put(b, key, parts...); err != nil {
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
