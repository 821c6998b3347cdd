package client

import (
	"errors"

	"turnrow/client/syncer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Held is an entry of a device's log that is here, whether the device belongs or
// not: the last one where seq is 0.
func (c *Client) Held(id entry.DeviceID, seq uint64) (m entry.Mark, ok bool) {
	c.read(func(s *farm.State) { m, ok = s.Held(id, seq) })
	return m, ok
}

// Copied says whether this device writes nothing more under its name, as a copy
// of it does: it takes a new identity, by an invite (Join).
func (c *Client) Copied() bool {
	r, me, err := c.writer()
	return err == nil && errors.Is(c.original(r, me), syncer.ErrCopied)
}
