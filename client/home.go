package client

import (
	"crypto/x509"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/logstore"
)

// Home is the folder on a device that holds its copy of a farm's record, and
// the identity under which it writes to it. A home that is of no farm yet is
// there to found one, to join one or to recover one; from then on Farm gives it.
// It is safe for concurrent use.
type Home struct {
	machine
	beginning sync.Mutex // one founding, joining or recovery at a time

	mu     sync.Mutex // guards what follows
	store  *logstore.Store
	farm   *Farm // nil where the home is of none
	closed bool
}

// machine is what a home runs on.
type machine struct {
	dir   string
	fs    logstore.FS
	log   *slog.Logger
	now   func() time.Time
	roots *x509.CertPool
}

// Open opens a home folder, and makes it on first use. Only one program at a
// time has it open. Errors that a caller can act on are logstore.ErrLocked,
// logstore.ErrNewer and keyfile.ErrExposed.
func Open(home string, o Options) (*Home, error) {
	h := &Home{machine: machine{dir: home, fs: o.FS, log: o.Logger, now: o.Now, roots: o.Roots}}
	if h.log == nil {
		h.log = slog.New(slog.DiscardHandler)
	}
	if h.now == nil {
		h.now = time.Now
	}
	if err := os.MkdirAll(home, 0o700); err != nil {
		return nil, err
	}
	err := h.open()
	if store := h.disk(); errors.Is(err, logstore.ErrCorrupt) && store != nil { // which only shows when it is read
		err = errors.Join(store.Condemn(), h.shut())
		if err == nil {
			err = h.open()
		}
	}
	if err != nil {
		return nil, errors.Join(err, h.shut())
	}
	return h, nil
}

func (h *Home) open() error {
	store, err := logstore.Open(h.storeFolder(), logstore.Options{Logger: h.log, FS: h.fs})
	if err != nil {
		return err
	}
	h.mu.Lock()
	h.store = store
	h.mu.Unlock()
	me, err := loadIdentity(h.keyFile())
	if err == nil {
		me, err = h.mended(store, me)
	}
	if err != nil {
		return err
	}
	id, err := store.Setting(settingFarm)
	if err != nil || id == nil {
		return err
	}
	log, err := store.Farm(entry.FarmID(id))
	if err != nil {
		return err
	}
	if d, err := store.Damage(); len(log.Frontier()) == 0 && (d == nil || err != nil) {
		return err // a founding or joining was cut short before its first entry: it can be tried again
	}
	f, err := h.openFarm(store, entry.FarmID(id), me)
	if err == nil {
		h.opened(f)
	}
	return err
}

// reopen opens what an undoing shut and could not open again, as on a full disk.
// It does nothing where the store is open, or the home is closed.
func (h *Home) reopen() error {
	if h.disk() != nil {
		return nil
	}
	if _, err := h.Farm(); errors.Is(err, ErrClosed) {
		return err
	}
	if err := h.open(); err != nil {
		return errors.Join(err, h.shut())
	}
	return nil
}

// opened makes a farm the home's own.
func (h *Home) opened(f *Farm) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.farm = f
}

func (m *machine) keyFile() string     { return filepath.Join(m.dir, keyName) }
func (m *machine) storeFolder() string { return filepath.Join(m.dir, storeDir) }

// disk is the store; nil before one is open.
func (h *Home) disk() *logstore.Store {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.store
}

// Farm is the farm that the home is of, opened. It is the same for all who ask,
// until the home is closed or takes another identity: who asks anew for each
// piece of work always has the one that is open. ErrNoFarm is of a home that is
// of no farm yet, be it that a founding or joining is under way.
func (h *Home) Farm() (*Farm, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	switch {
	case h.closed:
		return nil, ErrClosed
	case h.farm == nil:
		return nil, ErrNoFarm
	}
	return h.farm, nil
}

// Close closes the farm and the store. It waits for a founding or joining that
// is under way.
func (h *Home) Close() error {
	h.beginning.Lock()
	defer h.beginning.Unlock()
	h.mu.Lock()
	h.closed = true
	h.mu.Unlock()
	return h.shut()
}

// shut closes what is open.
func (h *Home) shut() error {
	h.mu.Lock()
	f, store := h.farm, h.store
	h.farm, h.store = nil, nil
	h.mu.Unlock()
	if f != nil {
		f.close()
		_ = f.replica.Save() // the log has everything: opening only takes longer without
	}
	if store == nil {
		return nil
	}
	return store.Close()
}
