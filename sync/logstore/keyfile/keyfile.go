// Package keyfile keeps secrets in files that nobody but their user can read:
// a device's key, a server's key. A file that others could read is refused, as
// its secret may be known.
package keyfile

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
)

const (
	mode = 0o600
	// others is every right of anybody but the file's user.
	others = 0o077
	// maxBytes is the size of a key file: ours have a few hundred bytes.
	maxBytes = 64 << 10
)

// ErrExposed reports a key file that others than its user can read or change.
var ErrExposed = errors.New("key file is open to other users")

// Read reads a secret. It gives ErrExposed where others can read or change the
// file, and an error that is fs.ErrNotExist where there is none.
func Read(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if exposed(info.Mode()) {
		return nil, fmt.Errorf("%w: %s has mode %04o, must be %04o: take the rights away, and think whether somebody has read it",
			ErrExposed, path, info.Mode().Perm(), mode)
	}
	b, err := io.ReadAll(io.LimitReader(f, maxBytes+1))
	if err == nil && len(b) > maxBytes {
		err = fmt.Errorf("%s: larger than %d bytes: not a key file", path, maxBytes)
	}
	return b, err
}

// exposed says whether others have rights. Windows keeps rights elsewhere: a
// new file there has those of its folder, which is the user's own.
func exposed(m os.FileMode) bool { return runtime.GOOS != "windows" && m.Perm()&others != 0 }

// Write keeps a secret in a new file, on disk before it returns: all of it or
// nothing. It gives an error that is fs.ErrExist where the file is there.
func Write(path string, secret []byte) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s: %w", path, os.ErrExist)
	}
	dir := filepath.Dir(path)
	f, err := os.CreateTemp(dir, ".key-*") // mode 0600 from the start
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(secret)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return err
	}
	return syncDir(dir)
}

// syncDir puts a folder's list of files on disk.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil // it has no such call; renames are kept by the file system's own log
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
