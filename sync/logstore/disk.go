package logstore

import (
	"errors"
	"io"
	"io/fs"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/cockroachdb/pebble/v2/vfs"
)

// disk is the file system as one engine sees it. Once something in the store's
// own folder cannot be written, the engine writes no more: it is stopped where
// it stands, and whatever of it tries to write waits there for ever.
//
// There are two reasons. What a failed sync leaves on a disk is not known (file
// systems drop the pages that they could not write), so that carrying on could
// acknowledge what is not there. And the engine answers a failure to write its
// log by ending the process, in ways that cannot all be caught; but it must be
// there for reading. A new engine starts again from what the disk really holds.
type disk struct {
	vfs.FS
	dir    string
	failed func(error) // told of failures
	shut   atomic.Bool
	busy   sync.RWMutex // read-locked while something is written

	hold  sync.Mutex // guards what follows
	holds bool       // until the store is found whole, nothing that it may need is removed
	held  []string   // what was to be removed meanwhile
}

// release removes what was held.
func (d *disk) release() {
	d.hold.Lock()
	held := d.held
	d.holds, d.held = false, nil
	d.hold.Unlock()
	for _, name := range held {
		_ = d.Remove(name) // that harms nobody
	}
}

// kept says whether a file is not to be removed yet.
func (d *disk) kept(name string) bool {
	d.hold.Lock()
	defer d.hold.Unlock()
	if d.holds && d.own(name) {
		d.held = append(d.held, name)
	}
	return d.holds && d.own(name)
}

// own says whether a file is the store's own; a backup's may fail alone.
func (d *disk) own(name string) bool { return name == d.dir || d.PathDir(name) == d.dir }

// write does something to the disk that must not fail.
func (d *disk) write(name string, do func() error) error {
	if !d.own(name) {
		return do()
	}
	err := d.try(do)
	if err == nil || errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrExist) {
		return err
	}
	d.failed(err)
	select {}
}

// try does something to the disk unless writing has ended.
func (d *disk) try(do func() error) error {
	d.busy.RLock()
	defer d.busy.RUnlock()
	if d.shut.Load() {
		return ErrDisk
	}
	return do()
}

// end lets nothing be written any more, once what is being written is.
func (d *disk) end() {
	d.shut.Store(true)
	d.busy.Lock()
	defer d.busy.Unlock()
}

// file is a file whose writes are the disk's.
func (d *disk) file(name string, f vfs.File) vfs.File {
	if f == nil || !d.own(name) {
		return f
	}
	return &diskFile{f, d, name}
}

// Create makes a file. The engine's markers name other files; those must not be
// lost where the marker is not, so the folder is synced in between.
func (d *disk) Create(name string, category vfs.DiskWriteCategory) (f vfs.File, err error) {
	err = d.write(name, func() error {
		if strings.HasPrefix(d.PathBase(name), "marker.") {
			if err := syncDir(d.FS, d.dir); err != nil {
				return err
			}
		}
		f, err = d.FS.Create(name, category)
		return err
	})
	return d.file(name, f), err
}

// OpenReadWrite opens a file.
func (d *disk) OpenReadWrite(name string, category vfs.DiskWriteCategory, opts ...vfs.OpenOption) (f vfs.File, err error) {
	err = d.write(name, func() error { f, err = d.FS.OpenReadWrite(name, category, opts...); return err })
	return d.file(name, f), err
}

// ReuseForWrite renames a file and opens it.
func (d *disk) ReuseForWrite(from, to string, category vfs.DiskWriteCategory) (f vfs.File, err error) {
	err = d.write(to, func() error { f, err = d.FS.ReuseForWrite(from, to, category); return err })
	return d.file(to, f), err
}

// OpenDir opens a folder, to sync it.
func (d *disk) OpenDir(name string) (vfs.File, error) {
	f, err := d.FS.OpenDir(name)
	return d.file(name, f), err
}

// Link makes a second name of a file.
func (d *disk) Link(from, to string) error {
	return d.write(to, func() error { return d.FS.Link(from, to) })
}

// Rename a file.
func (d *disk) Rename(from, to string) error {
	return d.write(to, func() error { return d.FS.Rename(from, to) })
}

// Remove a file. Failing in that harms nobody.
func (d *disk) Remove(name string) error {
	if d.kept(name) {
		return nil
	}
	return d.try(func() error { return d.FS.Remove(name) })
}

// RemoveAll removes a folder.
func (d *disk) RemoveAll(name string) error {
	return d.try(func() error { return d.FS.RemoveAll(name) })
}

// Lock does nothing: the store holds the folder's lock, through every engine.
func (d *disk) Lock(string) (io.Closer, error) { return io.NopCloser(nil), nil }

// Unwrap is the file system beneath.
func (d *disk) Unwrap() vfs.FS { return d.FS }

// diskFile is a file of the store's folder.
type diskFile struct {
	vfs.File
	disk *disk
	name string
}

func (f *diskFile) Write(p []byte) (n int, err error) {
	err = f.disk.write(f.name, func() error { n, err = f.File.Write(p); return err })
	return n, err
}

func (f *diskFile) WriteAt(p []byte, at int64) (n int, err error) {
	err = f.disk.write(f.name, func() error { n, err = f.File.WriteAt(p, at); return err })
	return n, err
}

func (f *diskFile) Sync() error { return f.disk.write(f.name, f.File.Sync) }

func (f *diskFile) SyncData() error { return f.disk.write(f.name, f.File.SyncData) }

func (f *diskFile) SyncTo(length int64) (full bool, err error) {
	err = f.disk.write(f.name, func() error { full, err = f.File.SyncTo(length); return err })
	return full, err
}
