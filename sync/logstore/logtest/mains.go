//go:build !js

package logtest

import (
	"errors"
	"math/rand/v2"
	"sync"

	"github.com/cockroachdb/pebble/v2/vfs"
	"github.com/cockroachdb/pebble/v2/vfs/errorfs"
)

// ErrPower is what a disk says whose power has gone.
var ErrPower = errors.New("the power has gone")

// Mains is a disk in memory whose power can go: nothing reaches it from then
// on. What was on its way already gets there, and may be acknowledged. It is
// safe for concurrent use.
type Mains struct {
	vfs.FS
	mem *vfs.MemFS

	mu     sync.Mutex
	rng    *rand.Rand
	at     int // the write at which the power goes; 0 for never
	writes int
	off    bool
}

// NewMains is an empty disk. The chance is for what a power cut leaves.
func NewMains(rng *rand.Rand) *Mains { return mains(vfs.NewCrashableMem(), rng) }

func mains(mem *vfs.MemFS, rng *rand.Rand) *Mains {
	m := &Mains{mem: mem, rng: rng}
	m.FS = errorfs.Wrap(mem, errorfs.InjectorFunc(m.op))
	return m
}

// op counts what is done to the disk but for what no sync has kept yet: of
// that, a cut at the next thing that counts leaves all, some or nothing.
func (m *Mains) op(op errorfs.Op) error {
	if op.Kind.ReadOrWrite() != errorfs.OpIsWrite {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	switch op.Kind {
	case errorfs.OpFileWrite, errorfs.OpFileClose, errorfs.OpFilePreallocate, errorfs.OpLock:
	default:
		if m.writes++; m.writes == m.at {
			m.off = true
		}
	}
	if m.off {
		return ErrPower
	}
	return nil
}

// Cut makes the power go at the n-th write from now.
func (m *Mains) Cut(n int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.at = m.writes + n
}

// Writes is how often something was done to the disk that a cut could fall
// on.
func (m *Mains) Writes() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.writes
}

// Dead says whether the power has gone.
func (m *Mains) Dead() bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.off
}

// Back is the disk when the power is back: what was synced, and all, some or
// nothing of the rest. Whoever used the disk must have given it up.
func (m *Mains) Back() *Mains { return m.clone(50 * m.rng.IntN(3)) }

// Copy is another disk with all that is on this one.
func (m *Mains) Copy() *Mains { return m.clone(100) }

func (m *Mains) clone(unsynced int) *Mains {
	m.mu.Lock()
	defer m.mu.Unlock()
	rng := rand.New(rand.NewPCG(m.rng.Uint64(), 2))
	return mains(m.mem.CrashClone(vfs.CrashCloneCfg{UnsyncedDataPercent: unsynced, RNG: rng}), rng)
}
