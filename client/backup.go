package client

import (
	"archive/tar"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"turnrow/sync/logstore"
)

// ErrBackup reports a file that is no backup, or a torn one.
var ErrBackup = errors.New("not a whole backup")

// maxBackup is the bytes of one file in a backup: the store's files have some
// megabytes.
const maxBackup = 4 << 30

// Backup writes a consistent copy of the record to a new file, while the
// device goes on. The device's key is not in it. It gives the number of
// entries.
func (f *Farm) Backup(file string) (entries uint64, err error) {
	tmp, err := os.MkdirTemp(f.dir, "backup-*")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(tmp)
	entries = f.replica.Frontier().Entries()
	dir := filepath.Join(tmp, storeDir)
	if err := f.store.Backup(dir); err != nil {
		return 0, err
	}
	out, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return 0, err
	}
	if err := errors.Join(pack(out, dir), out.Sync(), out.Close()); err != nil {
		return 0, errors.Join(err, os.Remove(file))
	}
	return entries, nil
}

// pack writes a folder as a compressed tar file.
func pack(w io.Writer, dir string) error {
	z := gzip.NewWriter(w)
	t := tar.NewWriter(z)
	return errors.Join(t.AddFS(os.DirFS(dir)), t.Close(), z.Close())
}

// Restore puts a backup into a home that is empty, and gives the number of
// entries. The device can read at once; before it writes it needs an identity
// of its own, which comes with a new invite.
func Restore(file, home string) (entries uint64, err error) {
	store := filepath.Join(home, storeDir)
	for _, path := range []string{store, filepath.Join(home, keyName)} {
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			return 0, fmt.Errorf("%w: %s is there; restore into an empty home", ErrHasFarm, path)
		}
	}
	f, err := os.Open(file)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	if err := os.MkdirAll(home, 0o700); err != nil {
		return 0, err
	}
	tmp, err := os.MkdirTemp(home, "restore-*")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(tmp)
	if err := unpack(f, tmp); err != nil {
		return 0, fmt.Errorf("%s: %w: %w", file, ErrBackup, err)
	}
	if entries, err = count(tmp); err != nil {
		return 0, fmt.Errorf("%s: %w: %w", file, ErrBackup, err)
	}
	return entries, os.Rename(tmp, store)
}

// unpack writes the files of a compressed tar file into a folder, and nothing
// outside it.
func unpack(r io.Reader, dir string) error {
	z, err := gzip.NewReader(r)
	if err != nil {
		return err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	t := tar.NewReader(z)
	for {
		h, err := t.Next()
		if err == io.EOF {
			_, err = io.Copy(io.Discard, z) // reads the sum at the end
			return err
		}
		if err != nil {
			return err
		}
		if err := unpackOne(root, h, t); err != nil {
			return err
		}
	}
}

func unpackOne(root *os.Root, h *tar.Header, r io.Reader) error {
	name := strings.TrimSuffix(h.Name, "/")
	switch h.Typeflag {
	case tar.TypeDir:
		if err := root.Mkdir(name, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
			return err
		}
		return nil
	case tar.TypeReg:
		f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if err != nil {
			return err
		}
		if h.Size > maxBackup {
			return errors.Join(fmt.Errorf("%s has %d bytes", name, h.Size), f.Close())
		}
		_, err = io.CopyN(f, r, h.Size)
		return errors.Join(err, f.Sync(), f.Close())
	default:
		return fmt.Errorf("%s: neither a file nor a folder", name)
	}
}

// count opens a store and counts the entries of its one farm.
func count(dir string) (n uint64, err error) {
	s, err := logstore.Open(dir, logstore.Options{})
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if copied, err := s.Copied(); err != nil || !copied {
		return 0, errors.Join(err, errors.New("it holds no copy of a store"))
	}
	farms, err := s.Farms()
	if err != nil {
		return 0, err
	}
	for _, id := range farms {
		log, err := s.Farm(id)
		if err != nil {
			return 0, err
		}
		n += log.Frontier().Entries()
	}
	return n, nil
}
