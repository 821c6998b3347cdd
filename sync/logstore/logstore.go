// Package logstore keeps farms' records on disk, for servers and devices
// alike. It is the one room that knows the disk's engine, Pebble.
//
// What Record and Take give back as stored has been synced to disk. Writers
// that come together share one sync; within a farm they keep their order, so
// that what is on disk is always a whole beginning of each device's log.
//
// # Keys
//
//	e farm device number   an entry's bytes, as they were signed
//	g farm device number   the chain's hash there, and the device's signature
//	h farm device          the log's head: what reading and writing go on from
//	b farm branch          a forked log's other branch: whose, where it parts and
//	                       ends; its entries and signatures are kept like a
//	                       device's, under the branch's name
//	f farm                 the heads that a saved fold stands for, and how many
//	                       parts it has
//	f farm part            a part of it; the number has four bytes
//	p farm name            how far a peer is known to hold the record
//	s name                 a setting of the program around the store
//	m name                 the store's own: generation, version
//
// Other numbers are eight bytes; all are big-endian. Every value begins with a
// CRC-32C over its key and what follows, so that a flipped bit in either is
// found wherever it is read, and named. A file of its own names the version
// that a program must know to open the store at all.
package logstore

import (
	"errors"
	"fmt"

	"turnrow/sync/exchange"
)

// The errors that a caller can act on.
var (
	// ErrLocked reports a store that another process has open.
	ErrLocked = errors.New("logstore: store is in use by another process")
	// ErrNewer reports a store that a later version of the program wrote. It
	// was left as it is.
	ErrNewer = errors.New("logstore: store was written by a newer version")
	// ErrNotStore reports a folder that holds something else, or a backup that
	// was not finished.
	ErrNotStore = errors.New("logstore: not a store")
	// ErrDisk reports a disk that is full or failing. Nothing of the write is
	// kept, and reading goes on; only where the process ends before the store
	// writes again can the disk turn out to have kept it after all.
	ErrDisk = fmt.Errorf("logstore: %w: disk takes no writes", exchange.ErrStorage)
	// ErrCorrupt reports a key or value that is not as it was written.
	ErrCorrupt = errors.New("logstore: damaged")
	// ErrClosed reports a store that has been closed.
	ErrClosed = errors.New("logstore: closed")
	// ErrKey reports a private key that is not the device's.
	ErrKey = errors.New("logstore: not the device's key")
	// ErrUnseen reports a Record that claims to have seen what is not stored.
	ErrUnseen = errors.New("logstore: seen, but not stored")
	// ErrForked reports a Record by a device whose log is forked: it has to
	// take a new identity.
	ErrForked = errors.New("logstore: device's log is forked, it needs a new identity")
)
