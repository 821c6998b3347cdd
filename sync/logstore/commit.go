package logstore

import (
	"fmt"
	"runtime/debug"

	"github.com/cockroachdb/pebble/v2"
)

// commit is a batch on its way to the disk.
type commit struct {
	applied, synced chan struct{} // closed when that far
	err             error         // of the sync, once synced
}

// apply hands a batch to the engine and waits until it is in its place in the
// order of writes, but not until it is on disk.
func (e *engine) apply(b *pebble.Batch) (*commit, error) { return e.start(b, true) }

// start gives a batch a goroutine of its own, since the engine does not return
// from some failures.
func (e *engine) start(b *pebble.Batch, sync bool) (*commit, error) {
	c := &commit{applied: make(chan struct{}), synced: make(chan struct{})}
	go e.run(b, sync, c)
	select {
	case <-c.applied:
		return c, nil
	case <-e.broken:
		return nil, e.cause
	}
}

func (e *engine) run(b *pebble.Batch, sync bool, c *commit) {
	returned := false
	defer func() {
		if r := recover(); r != nil {
			e.fail(fmt.Errorf("engine panicked: %v\n%s", r, debug.Stack()))
		} else if !returned {
			e.fail(fmt.Errorf("engine gave up"))
		}
	}()
	if sync {
		c.err = e.sync(b, c)
	} else if c.err = e.db.Apply(b, pebble.NoSync); c.err == nil {
		close(c.applied)
	}
	if c.err != nil {
		e.fail(c.err)
	} else {
		c.err = b.Close()
	}
	close(c.synced)
	returned = true
}

func (e *engine) sync(b *pebble.Batch, c *commit) error {
	if err := e.db.ApplyNoSyncWait(b, pebble.Sync); err != nil {
		return err
	}
	close(c.applied)
	return b.SyncWait()
}

// wait waits until a commit is on disk.
func (e *engine) wait(c *commit) error {
	select {
	case <-c.synced:
		if c.err != nil {
			return fmt.Errorf("%w: %w", ErrDisk, c.err)
		}
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
	_, err := e.start(b, false)
	return err
}
