package client

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Askers are the devices that wait to be let in, by device.
func (c *Client) Askers() (list []farm.Asker) {
	c.read(func(s *farm.State) { list = s.Askers() })
	return list
}

// Held is an entry of a device's log that is here, whether the device belongs or
// not: the last one where seq is 0.
func (c *Client) Held(id entry.DeviceID, seq uint64) (m entry.Mark, ok bool) {
	c.read(func(s *farm.State) { m, ok = s.Held(id, seq) })
	return m, ok
}

// Would is the farm as it would stand if this device wrote bodies now: its view
// and its lines, and what would have been written, at their end. Nothing is
// written.
func (c *Client) Would(bodies ...entry.Body) (v *farm.View, lines, written []farm.Line, err error) {
	_, me, err := c.writer()
	if err != nil {
		return nil, nil, nil, err
	}
	var s *farm.State
	var first uint64
	c.read(func(now *farm.State) {
		s, first = now.Would(farm.Writer{Device: me.device, Wall: c.now().UnixMilli()}, bodies...)
	})
	lines = s.Lines()
	for i := range bodies {
		at := slices.IndexFunc(lines, func(l farm.Line) bool { return l.ID == entry.ID{Device: me.device, Seq: first + uint64(i)} })
		written = append(written, lines[at])
	}
	return s.View(), lines, written, nil
}
