package client

import (
	"runtime/debug"
	"sync"

	"turnrow/sync/chain"
)

// Nearly all that opening a record takes into memory stays there, so that to
// look through it for garbage each time that it has doubled finds little, and
// takes a quarter of the time that a long record opens in. While one opens, and
// while its first view is worked out, the heap may grow to five times of what was in use, in place of twice.
const (
	hurriedPercent = 400    // as of GOGC
	hurriedFrom    = 20_000 // entries: of fewer nobody notices
)

// hurrying is held by whoever has changed the collector's setting, which the
// whole program shares.
var hurrying sync.Mutex

// hurried does something that reads all of a record up to a frontier.
func hurried(to chain.Frontier, do func()) {
	if to.Entries() < hurriedFrom || !hurrying.TryLock() {
		do()
		return
	}
	defer hurrying.Unlock()
	was := debug.SetGCPercent(hurriedPercent)
	defer func() { debug.SetGCPercent(was) }()
	if was < 0 || was > hurriedPercent { // the program knows better
		debug.SetGCPercent(was)
	}
	do()
}
