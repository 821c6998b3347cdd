//go:build !js

package simtest_test

import (
	"math/rand/v2"

	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
	"turnrow/sync/replica"
	"turnrow/sync/simtest"
)

// realDisk keeps a place's record in a real store, on a disk whose power can
// go at any write.
type realDisk struct {
	*logtest.Mains
	store *logstore.Store
}

func newRealDisk(r *rand.Rand) *realDisk {
	return &realDisk{Mains: logtest.NewMains(rand.New(rand.NewPCG(r.Uint64(), 1)))}
}

// Open opens the store, after a power cut with what was left.
func (d *realDisk) Open(f entry.FarmID) (replica.Log, error) {
	if d.store != nil {
		_ = d.store.Close() // on a dead disk there is nothing that it could still do
		d.store = nil
	}
	if d.Dead() {
		d.Mains = d.Back()
	}
	s, err := logstore.Open("store", logstore.Options{FS: d.FS})
	if err != nil {
		return nil, err
	}
	d.store = s
	return s.Farm(f)
}

// Power makes the power go at the n-th write from now.
func (d *realDisk) Power(n int) { d.Cut(n) }

// Copy is the disk as it stands.
func (d *realDisk) Copy() (simtest.Disk, error) { return &realDisk{Mains: d.Mains.Copy()}, nil }

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
