//go:build !unix

package logstore

import "errors"

// errWouldBlock is never met: such systems have an error of their own for a
// file that another process has open.
var errWouldBlock = errors.New("logstore: lock held")
