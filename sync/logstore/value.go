package logstore

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"

	"github.com/cockroachdb/pebble/v2"
)

// A value's checksum is CRC-32C (Castagnoli), which processors compute
// themselves and which finds any flip of up to five bits in a value of this
// size. It is against accidents; against people there are the signatures.
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const sumLen = 4

func sum(key, payload []byte) uint32 {
	return crc32.Update(crc32.Update(0, castagnoli, key), castagnoli, payload)
}

// put adds a value to a batch, as its parts in a row.
func put(b *pebble.Batch, key []byte, parts ...[]byte) error {
	size := sumLen
	for _, p := range parts {
		size += len(p)
	}
	op := b.SetDeferred(len(key), size)
	copy(op.Key, key)
	payload := op.Value[sumLen:sumLen]
	for _, p := range parts {
		payload = append(payload, p...)
	}
	binary.BigEndian.PutUint32(op.Value, sum(key, payload))
	return op.Finish()
}

// payload is a value without its checksum, which it checks. It shares the
// value's bytes.
func payload(key, value []byte) ([]byte, error) {
	if len(value) < sumLen {
		return nil, damaged(key, "too short")
	}
	if binary.BigEndian.Uint32(value) != sum(key, value[sumLen:]) {
		return nil, damaged(key, "checksum does not fit")
	}
	return value[sumLen:], nil
}

// get reads one value; nil where there is none.
func get(db pebble.Reader, key []byte) ([]byte, error) {
	value, closer, err := db.Get(key)
	if errors.Is(err, pebble.ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, unreadable(key, err)
	}
	p, err := payload(key, value)
	if err == nil {
		p = append([]byte{}, p...)
	}
	return p, errors.Join(err, closer.Close())
}

// unreadable tells a file that is damaged from other trouble with reading.
func unreadable(key []byte, err error) error {
	if err == nil || errors.Is(err, ErrCorrupt) {
		return err
	}
	if pebble.IsCorruptionError(err) {
		return fmt.Errorf("%w: near %s: %w", ErrCorrupt, describe(key), err)
	}
	return fmt.Errorf("logstore: reading %s: %w", describe(key), err)
}

func damaged(key []byte, how string) error {
	return fmt.Errorf("%w: %s: %s", ErrCorrupt, describe(key), how)
}
