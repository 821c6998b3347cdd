package logstore

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"sync"
	"syscall"
	"time"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

const (
	lockFile = "LOCK"
	removed  = ".removed" // after the name of a store that Remove has begun to remove
	// roomLeft is the bytes of free disk below which nothing is written any
	// more: what the engine needs to put what it holds in order.
	roomLeft = 16 << 20
	// reviveAfter is the pause between attempts to write again on a disk that
	// failed.
	reviveAfter = time.Second
)

// FS is the file system that a store lies on.
type FS = vfs.FS

// Options are settings of a store; the zero value will do.
type Options struct {
	FS     FS           // where the store is; nil for the disk
	Logger *slog.Logger // told of trouble; nil for none
	// Reserve is the bytes of free disk below which writing is refused; 0 for
	// 16 MiB, negative for none.
	Reserve int64
}

// Store holds the records of any number of farms. It is safe for concurrent
// use.
type Store struct {
	fs      vfs.FS
	dir     string
	log     *slog.Logger
	cache   *pebble.Cache
	reserve uint64
	steps   []step
	lock    io.Closer

	readOnly error // why nothing can be written there; nil where it can
	hole     error // what is missing in a store that is open for reading alone

	mu         sync.Mutex // guards what follows; taken before a log's
	idle       sync.Cond  // users has come to 0
	eng        *engine    // never nil once open; replaced only where it failed and users is 0
	users      int        // calls that read or write just now
	closed     bool
	tried      time.Time // when a failed engine was last replaced, or tried to be
	farms      map[entry.FarmID]*Log
	generation exchange.Generation
}

// Open opens the store in dir and makes it first where there is none. Errors
// that can be acted on are ErrLocked, ErrNewer, ErrNotStore, ErrCorrupt and
// ErrDisk. A store on a full disk opens for reading.
func Open(dir string, o Options) (*Store, error) { return openAt(dir, o, steps) }

func openAt(dir string, o Options, steps []step) (*Store, error) {
	s := &Store{fs: o.FS, log: o.Logger, steps: steps, farms: map[entry.FarmID]*Log{}}
	if s.fs == nil {
		s.fs = vfs.Default
	}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	switch {
	case o.Reserve == 0:
		s.reserve = roomLeft
	case o.Reserve > 0:
		s.reserve = uint64(o.Reserve)
	}
	s.dir = s.fs.PathJoin(dir)
	s.idle.L = &s.mu
	if err := s.open(); err != nil {
		return nil, fmt.Errorf("store %s: %w", dir, err)
	}
	return s, nil
}

func (s *Store) open() error {
	if err := makeDir(s.fs, s.dir); err != nil {
		return err
	}
	if _, err := claim(s.fs, s.dir, len(s.steps)+1); err != nil {
		return err
	}
	name := s.fs.PathJoin(s.dir, lockFile)
	lock, err := s.fs.Lock(name)
	if errors.Is(err, fs.ErrPermission) {
		if l, failed := lockToRead(name); failed == nil {
			lock, s.readOnly, err = l, err, nil
		}
	}
	switch {
	case s.readOnly != nil:
	case errors.Is(err, syscall.EROFS):
		lock, s.readOnly = io.NopCloser(nil), err // nobody else writes there either
	case errors.As(err, new(*fs.PathError)): // the file, not the lock on it
		return unwritten(err)
	case err != nil:
		return fmt.Errorf("%w (%w)", ErrLocked, err)
	default:
		_ = s.fs.RemoveAll(s.dir + removed) // what a crash left of it: it harms nobody
	}
	s.lock, s.cache = lock, pebble.NewCache(blockCache)
	if err := s.start(); err != nil {
		s.cache.Unref()
		return errors.Join(err, lock.Close())
	}
	return nil
}

// start opens the engine of a folder that is locked.
func (s *Store) start() error {
	// Again, now that nobody else can change it.
	version, err := claim(s.fs, s.dir, len(s.steps)+1)
	if err != nil {
		return err
	}
	if version < len(s.steps)+1 && s.readOnly == nil {
		if err := writeSchema(s.fs, s.dir, len(s.steps)+1); err != nil {
			return unwritten(err)
		}
	}
	e, err := s.whole()
	if err != nil {
		return err
	}
	g, err := get(e.db, metaGeneration)
	if err == nil && len(g) != len(s.generation) {
		err = fmt.Errorf("%w: %s", ErrCorrupt, describe(metaGeneration))
	}
	if err != nil {
		return errors.Join(err, e.close())
	}
	s.eng, s.generation = e, exchange.Generation(g)
	return nil
}

// whole opens the database, and builds it anew first where it is damaged.
func (s *Store) whole() (*engine, error) {
	if s.readOnly != nil {
		return s.engine()
	}
	phase, folder, err := s.rebuilding()
	if err != nil {
		return nil, err
	}
	why := errors.New("damage was found when it was read")
	if folder == "" {
		var e *engine
		if err = s.scanTail(); err == nil {
			e, err = s.engine()
		}
		if !errors.Is(err, ErrCorrupt) || errors.Is(err, ErrDisk) {
			return e, err
		}
		phase, why = moving, err
		if folder, err = s.freeFolder(); err != nil {
			return nil, err
		}
	}
	return s.rebuild(phase, folder, why)
}

// engine opens the database, for reading alone where the disk takes no writes.
func (s *Store) engine() (*engine, error) {
	if s.readOnly != nil {
		return s.reader(unwritten(s.readOnly))
	}
	e, err := s.writable()
	if err == nil || !errors.Is(err, ErrDisk) {
		return e, err
	}
	return s.reader(err)
}

// reader opens the database for reading alone, for want of what writing takes.
func (s *Store) reader(err error) (*engine, error) {
	s.log.Error("store: opened for reading only", "dir", s.dir, "err", err)
	r, again := open(s.fs, s.dir, s.cache, s.log, true)
	if again != nil {
		return nil, errors.Join(err, again)
	}
	if _, s.hole = s.prove(r); s.hole != nil { // it cannot be put in order here
		s.log.Error("store: damaged", "dir", s.dir, "err", s.hole)
		err = errors.Join(err, s.hole)
	}
	r.fail(err)
	return r, nil
}

// writable opens the database for writing.
func (s *Store) writable() (*engine, error) {
	e, err := open(s.fs, s.dir, s.cache, s.log, false)
	if err != nil {
		return nil, err
	}
	m, err := s.prove(e)
	if err == nil {
		err = s.ready(e)
	}
	if err == nil {
		err = s.marked(e, m)
	}
	if err != nil {
		return nil, errors.Join(err, e.close())
	}
	return e, nil
}

// ready brings the database to what this program needs.
func (s *Store) ready(e *engine) error {
	if err := forward(e, s.steps); err != nil {
		return err
	}
	g, err := get(e.db, metaGeneration)
	if g != nil || err != nil {
		return err
	}
	return writeGeneration(e)
}

// writeGeneration names the store anew.
func writeGeneration(e *engine) error {
	var g exchange.Generation
	if _, err := rand.Read(g[:]); err != nil {
		return err
	}
	b := e.db.NewBatch()
	return errors.Join(put(b, metaGeneration, g[:]), e.write(b))
}

// Close waits for calls that are under way and closes the store.
func (s *Store) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil
	}
	s.closed = true
	for s.users > 0 {
		s.idle.Wait()
	}
	err := errors.Join(s.eng.close(), s.lock.Close())
	s.cache.Unref()
	return err
}

// Generation names this store, for as long as it lives: another one says that
// what was stored here before is gone.
func (s *Store) Generation() [16]byte { return s.generation }

// reading gives the engine to read from. Call done once through with it.
func (s *Store) reading() (*engine, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil, ErrClosed
	}
	s.users++
	return s.eng, nil
}

// writing gives the engine to write to, if the disk takes writes. Call done
// once through with it.
func (s *Store) writing() (*engine, error) {
	e, err := s.using()
	if err != nil {
		return nil, err
	}
	if err := s.room(); err != nil {
		s.done()
		return nil, err
	}
	return e, nil
}

// using is writing for who asks for room later.
func (s *Store) using() (*engine, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil, ErrClosed
	}
	if s.eng.failure() != nil {
		if err := s.revive(false); err != nil {
			return nil, err
		}
	}
	s.users++
	return s.eng, nil
}

func (s *Store) done() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.users--; s.users == 0 {
		s.idle.Broadcast()
	}
}

// room says whether there is disk left to write on, where that can be known.
func (s *Store) room() error {
	if s.reserve == 0 {
		return nil
	}
	use, err := s.fs.GetDiskUsage(s.dir)
	if err != nil || use.AvailBytes >= s.reserve {
		return nil
	}
	return fmt.Errorf("%w: %d MiB free, %d needed", ErrDisk, use.AvailBytes>>20, s.reserve>>20)
}

// Farms lists the farms that have entries here.
func (s *Store) Farms() ([]entry.FarmID, error) {
	e, err := s.reading()
	if err != nil {
		return nil, err
	}
	defer s.done()
	it, err := e.db.NewIter(&pebble.IterOptions{LowerBound: []byte{spaceHead}, UpperBound: []byte{spaceHead + 1}})
	if err != nil {
		return nil, err
	}
	var farms []entry.FarmID
	for ok := it.First(); ok; {
		if len(it.Key()) != headLen {
			ok = it.Next()
			continue
		}
		farms = append(farms, entry.FarmID(it.Key()[1:farmLen]))
		next := after(it.Key()[:farmLen])
		if next == nil {
			break
		}
		ok = it.SeekGE(next)
	}
	return farms, errors.Join(unreadable([]byte{spaceHead}, it.Error()), it.Close())
}

// Farm is one farm's log, the same for every caller until Release. A farm that
// nothing is stored of has an empty one.
func (s *Store) Farm(id entry.FarmID) (*Log, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil, ErrClosed
	}
	if l := s.farms[id]; l != nil {
		return l, nil
	}
	st, err := loadState(s.eng.db, id)
	if err != nil {
		return nil, err
	}
	l := &Log{store: s, farm: id, next: st}
	l.durable.Store(st)
	s.farms[id] = l
	return l, nil
}

// Release lets go of a farm's log, which nobody may use any more: it takes no
// more memory, and the next Farm reads it anew. One of which something is still
// on its way to the disk stays.
func (s *Store) Release(id entry.FarmID) {
	s.mu.Lock()
	defer s.mu.Unlock()
	l := s.farms[id]
	if l == nil || s.eng.failure() != nil { // what reviving goes by
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.queue) == 0 {
		delete(s.farms, id)
	}
}

// Remove removes the store in dir, which nobody may have open. A crash leaves it
// whole there, or not there at all.
func Remove(dir string, fs FS) error {
	if fs == nil {
		fs = vfs.Default
	}
	gone := dir + removed
	if err := fs.RemoveAll(gone); err != nil {
		return err
	}
	if err := fs.Rename(dir, gone); err != nil {
		return err
	}
	return errors.Join(syncDir(fs, fs.PathDir(dir)), fs.RemoveAll(gone))
}
