//go:build !unix

package logstore

import (
	"errors"
	"io"
)

// lockToRead is not known how to be done here: who may not write does not read.
func lockToRead(string) (io.Closer, error) { return nil, errors.ErrUnsupported }
