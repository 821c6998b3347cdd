package client

import (
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
)

// watched is a log that tells of what was taken in from others.
type watched struct {
	*logstore.Log
	took func(exchange.Taken) error
	own  func() entry.DeviceID
}

// Take implements replica.Log.
func (w watched) Take(runs []entry.Run) (exchange.Taken, error) {
	returning := w.Behind(w.own()) != nil // what it lost is not what another wrote
	taken, err := w.Log.Take(runs)
	if err == nil && !returning {
		err = w.took(taken)
	}
	return taken, err
}

// ownTaken looks whether others brought entries that carry this device's own
// signature, and that it did not write: only that shows that it is one of two.
// What anybody says without showing it makes nobody a copy.
func (c *Client) ownTaken(t exchange.Taken) error {
	c.mu.Lock()
	me := c.me
	c.mu.Unlock()
	if me == nil {
		return nil
	}
	for i := range t.Entries {
		if t.Entries[i].Device == me.device {
			return c.copied(me)
		}
	}
	return nil
}
