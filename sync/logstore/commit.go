package logstore

import (
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/cockroachdb/pebble/v2"
)

// commit is a batch on its way to the disk.
type commit struct {
	applied, synced chan struct{} // closed when that far

	n   uint64  // its number
	log logName // that is recorded to, zero for none
	seq uint64  // where that log ends now
}

// apply hands a batch to the engine and waits until it is in its place in the
// order of writes, but not until it is on disk.
func (e *engine) apply(b *pebble.Batch) (*commit, error) { return e.record(b, logName{}, 0) }

// record is apply for a batch by which a log that is recorded to here comes to
// seq.
func (e *engine) record(b *pebble.Batch, log logName, seq uint64) (*commit, error) {
	e.wrote.Store(true)
	e.order.Lock() // the batches' numbers are in the order of the engine's log
	defer e.order.Unlock()
	c := &commit{applied: make(chan struct{}), synced: make(chan struct{}), n: e.count + 1, log: log, seq: seq}
	if err := put(b, metaCount, binary.BigEndian.AppendUint64(nil, c.n)); err != nil {
		return nil, err
	}
	e.count = c.n
	go c.run(e, b)
	select {
	case <-c.applied:
		return c, nil
	case <-e.broken:
		return nil, e.cause
	}
}

// run is a goroutine of the batch's own, as the engine may not come back.
func (c *commit) run(e *engine, b *pebble.Batch) {
	err := errors.New("engine gave up")
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("engine panicked: %v", r)
		}
		if err != nil {
			e.fail(err)
		}
	}()
	if err = e.db.ApplyNoSyncWait(b, pebble.Sync); err != nil {
		return
	}
	close(c.applied)
	if err = b.SyncWait(); err != nil {
		return
	}
	if e.mark != nil {
		if err = e.mark.synced(c); err != nil {
			return
		}
	}
	close(c.synced)
	err = b.Close()
}

// wait waits until a commit is on disk.
func (e *engine) wait(c *commit) error {
	select {
	case <-c.synced:
		return nil
	case <-e.broken:
		return e.cause
	}
}

// write applies a batch and waits until it is on disk.
func (e *engine) write(b *pebble.Batch) error {
	c, err := e.apply(b)
	if err != nil {
		return err
	}
	return e.wait(c)
}

// unsynced applies a batch and leaves it to later syncs to put it on disk.
func (e *engine) unsynced(b *pebble.Batch) error {
	e.wrote.Store(true)
	return e.try(func() error { return errors.Join(e.db.Apply(b, pebble.NoSync), b.Close()) })
}
