package logstore

import (
	"errors"
	"fmt"
	"log/slog"
	"runtime"
	"sync"
	"time"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"
)

// Sizes of the engine's parts: small, for phones, and enough for a farm's
// whole record, which is megabytes.
const (
	memTable    = 4 << 20 // also what opening may have to read again after a crash
	blockCache  = 16 << 20
	openFiles   = 256
	worthAFlush = 256 << 10 // of log that closing turns into a table, so that opening need not read it
)

// engine is one opening of the store's database. It lasts until the store is
// closed, or until the disk fails it.
type engine struct {
	db     *pebble.DB
	disk   *disk
	broken chan struct{} // closed on failure, after cause is set
	once   sync.Once
	cause  error
}

func (e *engine) fail(cause error) {
	e.once.Do(func() {
		e.cause = fmt.Errorf("%w: %w", ErrDisk, cause)
		e.disk.shut.Store(true)
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

// open opens the database in dir.
func open(fs vfs.FS, dir string, log *slog.Logger, readOnly bool) (*engine, error) {
	e := &engine{broken: make(chan struct{})}
	e.disk = &disk{FS: fs, dir: dir, failed: e.fail}
	db, err := guarded(func() (*pebble.DB, error) { return pebble.Open(dir, e.options(log, readOnly)) })
	if failed := e.failure(); failed != nil {
		return nil, failed
	}
	if vfs.IsNoSpaceError(err) {
		err = fmt.Errorf("%w: %w", ErrDisk, err)
	}
	e.db = db
	return e, err
}

func (e *engine) options(log *slog.Logger, readOnly bool) *pebble.Options {
	o := &pebble.Options{
		FS:                 e.disk,
		ReadOnly:           readOnly,
		FormatMajorVersion: pebble.FormatValueSeparation,
		MemTableSize:       memTable,
		CacheSize:          blockCache,
		MaxOpenFiles:       openFiles,
		Logger:             &engineLog{log, e},
	}
	o.EventListener = &pebble.EventListener{
		BackgroundError: func(err error) { log.Warn("store: background work failed", "err", err) },
		DataCorruption:  func(i pebble.DataCorruptionInfo) { log.Error("store: damaged file", "path", i.Path, "err", i.Details) },
		DiskSlow:        func(i pebble.DiskSlowInfo) { log.Warn("store: disk is slow", "path", i.Path, "for", i.Duration) },
	}
	return o
}

// guarded runs what may end its goroutine or panic, and gives that as an error.
func guarded[T any](do func() (T, error)) (T, error) {
	var v T
	err := errors.New("engine gave up")
	done := make(chan struct{})
	go func() {
		defer close(done)
		defer func() {
			if r := recover(); r != nil {
				err = fmt.Errorf("engine panicked: %v", r)
			}
		}()
		v, err = do()
	}()
	<-done
	return v, err
}

// engineLog takes the engine's messages. The engine ends the process where it
// cannot write; here the store is marked as failed instead, and the goroutine
// that met the failure ends.
type engineLog struct {
	log *slog.Logger
	e   *engine
}

func (l *engineLog) Infof(format string, args ...any) {}

func (l *engineLog) Errorf(format string, args ...any) {
	l.log.Warn("store: engine", "err", fmt.Sprintf(format, args...))
}

func (l *engineLog) Fatalf(format string, args ...any) {
	err := fmt.Errorf(format, args...)
	l.log.Error("store: engine failed", "err", err)
	l.e.fail(err)
	runtime.Goexit()
}

// close closes the database. One that failed may never finish with that, and
// is left behind after a while: it can write nothing any more.
func (e *engine) close() error {
	if e.failure() == nil {
		return errors.Join(e.settle(), e.db.Close())
	}
	e.disk.end()
	done := make(chan struct{})
	go func() {
		defer close(done)
		defer func() { _ = recover() }()
		_ = e.db.Close()
	}()
	select {
	case <-done:
	case <-time.After(2 * time.Second):
	}
	return nil
}

// settle turns a long log into a table.
func (e *engine) settle() error {
	if m := e.db.Metrics(); m.WAL.Size < worthAFlush {
		return nil
	}
	_, err := guarded(func() (struct{}, error) { return struct{}{}, e.db.Flush() })
	if errors.Is(err, pebble.ErrReadOnly) {
		return nil
	}
	return err
}
