//go:build !js

package simtest_test

import (
	"errors"
	"math/rand/v2"
	"sync"

	"github.com/cockroachdb/pebble/v2/vfs"
	"github.com/cockroachdb/pebble/v2/vfs/errorfs"

	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/replica"
	"turnrow/sync/simtest"
)

// realDisk keeps a place's record in a real store, on a disk whose power can
// go at any write.
type realDisk struct {
	rng   *rand.Rand
	store *logstore.Store

	mu   sync.Mutex // the store's own goroutines write too
	mem  *vfs.MemFS
	left int        // writes until the power goes; 0 for never
	kept *vfs.MemFS // what was left when it went
}

var errPower = errors.New("the power has gone")

func newRealDisk(r *rand.Rand) *realDisk {
	return &realDisk{rng: rand.New(rand.NewPCG(r.Uint64(), 1)), mem: vfs.NewCrashableMem()}
}

// Open opens the store, after a power cut with what was left.
func (d *realDisk) Open(f entry.FarmID) (replica.Log, error) {
	if d.store != nil {
		_ = d.store.Close() // on a dead disk there is nothing that it could still do
		d.store = nil
	}
	d.mu.Lock()
	if d.kept != nil {
		d.mem, d.kept = d.kept, nil
	}
	mem := d.mem
	d.mu.Unlock()
	fs := errorfs.Wrap(mem, errorfs.InjectorFunc(func(op errorfs.Op) error { return d.write(mem, op) }))
	s, err := logstore.Open("store", logstore.Options{FS: fs})
	if err != nil {
		return nil, err
	}
	d.store = s
	return s.Farm(f)
}

func (d *realDisk) write(mem *vfs.MemFS, op errorfs.Op) error {
	if op.Kind.ReadOrWrite() != errorfs.OpIsWrite {
		return nil
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.kept != nil && mem == d.mem {
		return errPower
	}
	if d.left > 0 {
		if d.left--; d.left == 0 {
			d.kept = mem.CrashClone(vfs.CrashCloneCfg{UnsyncedDataPercent: 50 * d.rng.IntN(3), RNG: d.rng})
			return errPower
		}
	}
	return nil
}

// Power makes the power go at the n-th write from now.
func (d *realDisk) Power(n int) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.left = n
}

// Dead says whether the power has gone.
func (d *realDisk) Dead() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.kept != nil
}

// Copy is the disk as it stands.
func (d *realDisk) Copy() (simtest.Disk, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	mem := d.mem
	if d.kept != nil {
		mem = d.kept
	}
	rng := rand.New(rand.NewPCG(d.rng.Uint64(), 2))
	return &realDisk{rng: rng, mem: mem.CrashClone(vfs.CrashCloneCfg{UnsyncedDataPercent: 100, RNG: rng})}, nil
}

// Close closes the store.
func (d *realDisk) Close() error {
	if d.store == nil {
		return nil
	}
	err := d.store.Close()
	if d.Dead() {
		return nil
	}
	return err
}

// realDisks gives the server and one in three places a real store.
func realDisks(r *rand.Rand) func(place string) simtest.Disk {
	return func(place string) simtest.Disk {
		if place == "server" || r.IntN(3) == 0 {
			return newRealDisk(r)
		}
		return simtest.NewMemoryDisk()
	}
}
