package client

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// admit lets in whoever asks to join, where this device may: on an invite, in
// time by its own clock, that nobody took as far as it knows. All else is for
// an owner to say. It gives how many it let in.
func (c *Client) admit() (int, error) {
	r, me, err := c.writer()
	if err != nil {
		return 0, nil // a home that writes nothing admits nobody
	}
	var bodies []entry.Body
	r.Read(func(s *farm.State) { bodies = s.ToAdmit(me.device, c.now().UnixMilli()) })
	if len(bodies) == 0 {
		return 0, nil
	}
	c.writing.RLock()
	defer c.writing.RUnlock()
	ids, err := c.write(entry.ID{}, bodies)
	return len(ids), err
}
