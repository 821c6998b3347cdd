package logstore

import (
	"errors"
	"io"
	"sync"
	"sync/atomic"

	"github.com/cockroachdb/pebble/v2/vfs"
)

// errShut is what an engine meets that was given up after a failure.
var errShut = errors.New("logstore: writing has ended after a failure")

// disk is the file system as one engine sees it. Once a write or a sync fails,
// it writes no more: what a failed sync leaves on a disk is not known (file
// systems drop the pages that they could not write), so that carrying on could
// acknowledge what is not there. A new engine starts again from what can be
// read.
type disk struct {
	vfs.FS
	dir    string
	failed func(error) // told of the first failure
	shut   atomic.Bool
	busy   sync.RWMutex // read-locked while something is written
}

// change does something that changes the disk, unless writing has ended.
func (d *disk) change(do func() error) error {
	d.busy.RLock()
	defer d.busy.RUnlock()
	if d.shut.Load() {
		return errShut
	}
	return do()
}

// write is change, for what must not fail.
func (d *disk) write(do func() error) error {
	return d.change(func() error {
		err := do()
		if err != nil && !d.shut.Swap(true) {
			d.failed(err)
		}
		return err
	})
}

// end lets nothing be written any more, once what is being written is.
func (d *disk) end() {
	d.shut.Store(true)
	d.busy.Lock()
	defer d.busy.Unlock()
}

// file wraps a file of the store's own folder; a backup's may fail alone.
func (d *disk) file(name string, f vfs.File, err error) (vfs.File, error) {
	if err != nil || d.PathDir(name) != d.dir {
		return f, err
	}
	return &diskFile{f, d}, nil
}

// Create makes a file.
func (d *disk) Create(name string, category vfs.DiskWriteCategory) (f vfs.File, err error) {
	err = d.change(func() error { f, err = d.FS.Create(name, category); return err })
	return d.file(name, f, err)
}

// OpenReadWrite opens a file.
func (d *disk) OpenReadWrite(name string, category vfs.DiskWriteCategory, opts ...vfs.OpenOption) (f vfs.File, err error) {
	err = d.change(func() error { f, err = d.FS.OpenReadWrite(name, category, opts...); return err })
	return d.file(name, f, err)
}

// ReuseForWrite renames a file and opens it.
func (d *disk) ReuseForWrite(from, to string, category vfs.DiskWriteCategory) (f vfs.File, err error) {
	err = d.change(func() error { f, err = d.FS.ReuseForWrite(from, to, category); return err })
	return d.file(to, f, err)
}

// OpenDir opens a folder, to sync it.
func (d *disk) OpenDir(name string) (vfs.File, error) {
	f, err := d.FS.OpenDir(name)
	if err != nil || name != d.dir {
		return f, err
	}
	return &diskFile{f, d}, nil
}

// Link makes a second name of a file.
func (d *disk) Link(from, to string) error {
	return d.change(func() error { return d.FS.Link(from, to) })
}

// Rename a file.
func (d *disk) Rename(from, to string) error {
	return d.change(func() error { return d.FS.Rename(from, to) })
}

// Remove a file.
func (d *disk) Remove(name string) error {
	return d.change(func() error { return d.FS.Remove(name) })
}

// RemoveAll removes a folder.
func (d *disk) RemoveAll(name string) error {
	return d.change(func() error { return d.FS.RemoveAll(name) })
}

// Lock does nothing: the store holds the folder's lock, through every engine.
func (d *disk) Lock(string) (io.Closer, error) { return io.NopCloser(nil), nil }

// Unwrap is the file system beneath.
func (d *disk) Unwrap() vfs.FS { return d.FS }

// diskFile is a file that tells its disk of failures.
type diskFile struct {
	vfs.File
	disk *disk
}

func (f *diskFile) Write(p []byte) (n int, err error) {
	err = f.disk.write(func() error { n, err = f.File.Write(p); return err })
	return n, err
}

func (f *diskFile) WriteAt(p []byte, at int64) (n int, err error) {
	err = f.disk.write(func() error { n, err = f.File.WriteAt(p, at); return err })
	return n, err
}

func (f *diskFile) Sync() error { return f.disk.write(f.File.Sync) }

func (f *diskFile) SyncData() error { return f.disk.write(f.File.SyncData) }

func (f *diskFile) SyncTo(length int64) (full bool, err error) {
	err = f.disk.write(func() error { full, err = f.File.SyncTo(length); return err })
	return full, err
}
