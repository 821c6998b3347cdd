package client

import (
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
)

// watched is a log that tells of what was taken in from others.
type watched struct {
	*logstore.Log
	writer func() *Farm // that a device in this home writes by
}

// Take implements replica.Log.
func (w watched) Take(runs []entry.Run) (exchange.Taken, error) {
	f := w.writer()
	returning := w.Behind(f.Device()) != nil // what it lost is not what another wrote
	taken, err := w.Log.Take(runs)
	if err == nil && !returning {
		err = f.ownTaken(taken)
	}
	return taken, err
}

// ownTaken looks whether others brought entries that carry this device's own
// signature, and that it did not write: only that shows that it is one of two.
// What anybody says without showing it makes nobody a copy.
func (f *Farm) ownTaken(t exchange.Taken) error {
	for i := range t.Entries {
		if f.me != nil && t.Entries[i].Log == f.me.device.Log() {
			return f.copied()
		}
	}
	return nil
}
