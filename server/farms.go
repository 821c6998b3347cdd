package server

import (
	"sync"
	"time"

	"turnrow/server/auth"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/replica"
)

// maxLoaded is the farms whose state is kept in memory while nobody asks for
// it: those of a busy evening.
const maxLoaded = 64

// farms keeps the farms of a store apart from each other, and loads the state
// of one when it is first asked for. It implements replica.Farms.
type farms struct {
	store *logstore.Store
	id    auth.Identity
	now   func() time.Time
	opens func(*replica.Replica) // what to do with a farm that is loaded; nil is nothing

	mu     sync.Mutex
	known  map[entry.FarmID]bool // every farm of the store
	loaded map[entry.FarmID]*slot
	tick   uint64 // counts uses, to tell which was used last
}

// slot is a farm in memory, or on its way there.
type slot struct {
	load func() (*replica.Replica, error) // waits for the one load
	refs int                              // calls that use it now
	used uint64                           // tick of its last use
}

func keep(store *logstore.Store, id auth.Identity, now func() time.Time) (*farms, error) {
	ids, err := store.Farms()
	if err != nil {
		return nil, err
	}
	f := &farms{store: store, id: id, now: now, known: map[entry.FarmID]bool{}, loaded: map[entry.FarmID]*slot{}}
	for _, id := range ids {
		f.known[id] = true
	}
	return f, nil
}

// Farm implements replica.Farms.
func (f *farms) Farm(id entry.FarmID) (*replica.Replica, func(), error) {
	s, err := f.acquire(id)
	if err != nil {
		return nil, nil, err
	}
	release := func() { f.release(s) }
	r, err := s.load()
	if err != nil {
		release()
		f.forget(id, s)
		return nil, nil, err
	}
	return r, release, nil
}

func (f *farms) acquire(id entry.FarmID) (*slot, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !f.known[id] {
		return nil, exchange.ErrFarm
	}
	s, ok := f.loaded[id]
	if !ok {
		s = &slot{load: sync.OnceValues(func() (*replica.Replica, error) { return f.read(id) })}
		f.loaded[id] = s
	}
	s.refs++
	f.tick++
	s.used = f.tick
	f.trim()
	return s, nil
}

func (f *farms) release(s *slot) {
	f.mu.Lock()
	defer f.mu.Unlock()
	s.refs--
}

// forget drops a farm that could not be loaded, so that the next call tries
// again.
func (f *farms) forget(id entry.FarmID, s *slot) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.loaded[id] == s {
		delete(f.loaded, id)
	}
}

// trim drops the farms that have lain unused the longest, beyond maxLoaded.
func (f *farms) trim() {
	for len(f.loaded) > maxLoaded {
		var oldest entry.FarmID
		var found *slot
		for id, s := range f.loaded {
			if s.refs == 0 && (found == nil || s.used < found.used) {
				oldest, found = id, s
			}
		}
		if found == nil {
			return // all are in use
		}
		delete(f.loaded, oldest)
		f.store.Release(oldest)
	}
}

func (f *farms) read(id entry.FarmID) (*replica.Replica, error) {
	log, err := f.store.Farm(id)
	if err != nil {
		return nil, err
	}
	r, err := replica.Open(id, f.store.Generation(), log)
	if err == nil {
		r.Clock(func() int64 { return f.now().UnixMilli() })
		if f.opens != nil {
			f.opens(r)
		}
	}
	return r, err
}

func (f *farms) all() []entry.FarmID {
	f.mu.Lock()
	defer f.mu.Unlock()
	ids := make([]entry.FarmID, 0, len(f.known))
	for id := range f.known {
		ids = append(ids, id)
	}
	return ids
}
