package bench

import (
	"errors"
	"fmt"
)

// opens is how often a home is opened on one crew.
const opens = 5

// openAlone opens the home of a device that holds everything, each time in a
// new process, up to a view of the farm.
func (c *crew) openAlone(b *bench) (Figures, error) {
	want := int(c.devices[0].Digest().Entries)
	if err := c.devices[0].Close(); err != nil {
		return nil, err
	}
	c.devices[0] = nil
	var all []Figures
	for range opens {
		k, err := b.child(c.ctx, partOpen, c.home(deviceName(0)))
		if err != nil {
			return nil, err
		}
		var o opened
		if err := errors.Join(k.out.Decode(&o), k.end()); err != nil {
			return nil, err
		}
		if o.Entries != want {
			return nil, fmt.Errorf("%w: %d entries in view, not %d", errUnequal, o.Entries, want)
		}
		all = append(all, Figures{"ms": millis(o.Took), "peak_mb": float64(o.Peak) / 1e6, "held_mb": float64(o.Held) / 1e6})
	}
	return medians(all), nil
}
