package logstore

import (
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"
)

// Sizes of the engine's parts: small, for phones, and enough for a farm's
// whole record, which is megabytes.
const (
	memTable   = 4 << 20 // also what opening may have to read again after a crash
	blockCache = 16 << 20
	openFiles  = 256
)

// engine is one opening of the store's database. It lasts until the store is
// closed, or until the disk fails it.
type engine struct {
	db     *pebble.DB
	disk   *disk
	log    *slog.Logger
	broken chan struct{} // closed on failure, after cause is set
	once   sync.Once
	cause  error // set before broken is closed, and not after
	wrote  atomic.Bool

	order sync.Mutex // guards count, and is held while a batch takes its number and its place in the engine's log
	count uint64     // number of the latest batch
	// unproved says that it is not known how far others hold what is recorded here.
	unproved atomic.Bool
	mark     *mark // nil until the database is found to hold what it names
}

// unwritten is why a disk takes no writes, in words that tell what to do.
func unwritten(err error) error {
	if errors.Is(err, ErrDisk) {
		return err
	}
	switch {
	case vfs.IsNoSpaceError(err):
		return fmt.Errorf("%w: it is full: make room: %w", ErrDisk, err)
	case errors.Is(err, syscall.EROFS):
		return fmt.Errorf("%w: it is read-only, and what is there can only be read: have it mounted for writing: %w", ErrDisk, err)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%w: this user may not write there: have its rights changed: %w", ErrDisk, err)
	}
	return fmt.Errorf("%w: it is failing: %w", ErrDisk, err)
}

func (e *engine) fail(cause error) {
	e.once.Do(func() {
		e.disk.shut.Store(true)
		e.cause = unwritten(cause)
		e.log.Error("store: writing failed", "dir", e.disk.dir, "err", cause)
		close(e.broken)
	})
}

// failure is what broke the engine, nil while it is well.
func (e *engine) failure() error {
	select {
	case <-e.broken:
		return e.cause
	default:
		return nil
	}
}

// try runs what may write to the disk, and so may never return. Where the disk
// fails meanwhile it is left behind.
func (e *engine) try(do func() error) error {
	done := make(chan error, 1)
	go func() {
		var err error
		returned := false
		defer func() {
			if r := recover(); r != nil {
				err = fmt.Errorf("engine panicked: %v", r)
			} else if !returned {
				err = errors.New("engine gave up")
			}
			done <- err
		}()
		err = do()
		returned = true
	}()
	select {
	case err := <-done:
		if failed := e.failure(); failed != nil {
			return failed
		}
		return err
	case <-e.broken:
		return e.cause
	}
}

// open opens the database in dir.
func open(on vfs.FS, dir string, cache *pebble.Cache, log *slog.Logger, readOnly bool) (*engine, error) {
	e := &engine{log: log, broken: make(chan struct{})}
	e.disk = &disk{FS: on, dir: dir, failed: e.fail, holds: true}
	o := e.options()
	o.Cache, o.ReadOnly = cache, readOnly
	opened := make(chan *pebble.DB, 1)
	err := e.try(func() error {
		db, err := pebble.Open(dir, o)
		opened <- db
		return err
	})
	switch {
	case err == nil:
		e.db = <-opened
		return e, nil
	case errors.Is(err, ErrDisk):
		return nil, err
	case errors.Is(err, fs.ErrNotExist): // a file that another one names
		return nil, fmt.Errorf("%w: %w", ErrCorrupt, err)
	case strings.Contains(err.Error(), "unknown format major version"):
		return nil, fmt.Errorf("%w: %w", ErrNewer, err)
	case vfs.IsNoSpaceError(err), errors.As(err, new(*fs.PathError)), errors.As(err, new(syscall.Errno)):
		return nil, unwritten(err)
	default:
		return nil, fmt.Errorf("%w: %w", ErrCorrupt, err)
	}
}

func (e *engine) options() *pebble.Options {
	o := &pebble.Options{
		FS:                 e.disk,
		FormatMajorVersion: pebble.FormatValueSeparation,
		MemTableSize:       memTable,
		MaxOpenFiles:       openFiles,
		Logger:             e,
	}
	o.EventListener = &pebble.EventListener{
		BackgroundError: func(err error) { e.log.Warn("store: background work failed", "err", err) },
		DataCorruption: func(i pebble.DataCorruptionInfo) {
			e.log.Error("store: damaged file", "path", i.Path, "err", i.Details)
		},
		DiskSlow: e.slow,
	}
	return o
}

// slow is told of a write that takes long, as those do that are stopped.
func (e *engine) slow(i pebble.DiskSlowInfo) {
	if e.failure() == nil {
		e.log.Warn("store: disk is slow", "path", i.Path, "for", i.Duration)
	}
}

// Infof makes nothing of the engine's news.
func (e *engine) Infof(string, ...any) {}

// Errorf logs the engine's troubles.
func (e *engine) Errorf(format string, args ...any) {
	e.log.Warn("store: engine", "err", fmt.Sprintf(format, args...))
}

// Fatalf is where the engine would end the process. The store is marked as
// failed instead, and the goroutine that met the failure ends.
func (e *engine) Fatalf(format string, args ...any) {
	e.fail(fmt.Errorf(format, args...))
	runtime.Goexit()
}

// close closes the database, with all of it in tables: they are checked whole
// when they are read, whereas damage at the end of the engine's log looks like a
// write that a crash cut short. An engine that failed is left as it is: parts
// of it wait for ever, and it can write nothing any more.
func (e *engine) close() error {
	if e.failure() != nil {
		e.disk.end()
		return nil
	}
	return e.try(func() error {
		var err error
		if e.wrote.Load() {
			err = e.db.Flush()
		}
		if e.mark != nil {
			err = errors.Join(err, e.mark.close())
		}
		return errors.Join(err, e.db.Close())
	})
}
