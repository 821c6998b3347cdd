//go:build unix

package logstore

import (
	"io"
	"os"
	"syscall"
)

// lockToRead takes the lock of a store that this user may read and not write:
// it keeps out who may write while it is held, and fails while one of them holds
// it.
func lockToRead(name string) (io.Closer, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	l := syscall.Flock_t{Type: syscall.F_RDLCK, Whence: io.SeekStart}
	if err := syscall.FcntlFlock(f.Fd(), syscall.F_SETLK, &l); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}
