//go:build unix

package logstore

import "syscall"

// errWouldBlock is what a lock that another process holds gives.
const errWouldBlock = syscall.EAGAIN
