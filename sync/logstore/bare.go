package logstore

import (
	"encoding/binary"
	"errors"
	"fmt"
	"log/slog"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"
)

// Bare is the store's engine alone, with the engine's own settings: what a
// Record is held against when it is measured. It keeps nobody's record.
type Bare struct {
	db *pebble.DB
	n  uint64 // values written
}

// OpenBare makes a database of its own in dir.
func OpenBare(dir string) (*Bare, error) {
	db, err := pebble.Open(dir, &pebble.Options{FS: vfs.Default, Logger: &engine{log: slog.New(slog.DiscardHandler)}})
	if err != nil {
		return nil, fmt.Errorf("logstore: bare engine: %w", err)
	}
	return &Bare{db: db}, nil
}

// Write writes values one by one, each with a sync of its own.
func (b *Bare) Write(values [][]byte) error {
	for _, v := range values {
		b.n++
		key := binary.BigEndian.AppendUint64(make([]byte, seqLen-8), b.n)
		if err := b.db.Set(key, v, pebble.Sync); err != nil {
			return fmt.Errorf("logstore: bare engine: %w", err)
		}
	}
	return nil
}

// Close closes the database.
func (b *Bare) Close() error { return errors.Join(b.db.Flush(), b.db.Close()) }
