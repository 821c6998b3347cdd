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

// Founding is how the farm was founded: its name, time zone, units and money.
// It is all zero until the record is here.
func (c *Client) Founding() (f entry.FarmFounded) {
	c.read(func(s *farm.State) {
		if b, ok := s.Founding(); ok {
			f = *b
		}
	})
	return f
}

// Devices are the devices that the record names, as in a view of the farm.
func (c *Client) Devices() (all []farm.Device) {
	c.read(func(s *farm.State) { all = s.Devices() })
	return all
}

// Own is this device as the record here names it; zero where it does not.
func (c *Client) Own() (own farm.Device) {
	me := c.Device()
	c.read(func(s *farm.State) { own, _ = s.Device(me) })
	return own
}
