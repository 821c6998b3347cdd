package bench

import (
	"errors"
	"fmt"
	"time"
)

// errUnequal reports replicas that should hold the same and do not.
var errUnequal = errors.New("replicas differ")

// mergeEight has all devices, which have written apart, exchange through the
// server until each holds everything: once to bring their own, and once more
// for what the others brought after them.
func (c *crew) mergeEight(n int) (Figures, error) {
	var bytes [len("device-0")]int64 // one for each of the eight
	begun := time.Now()
	for range 2 {
		err := c.each(func(i int, d *device) error {
			r, err := d.Sync(c.ctx)
			bytes[i] += r.BytesIn + r.BytesOut
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	took := time.Since(begun)
	var sum int64
	for _, b := range bytes {
		sum += b
	}
	return Figures{"seconds": seconds(took), "megabytes": float64(sum) / 1e6}, c.equal(n)
}

// equal checks that all devices hold the setting up and n entries.
func (c *crew) equal(n int) error {
	want := c.devices[0].Digest()
	if want.Entries != uint64(c.held+n) {
		return fmt.Errorf("%w: %d entries, not %d", errUnequal, want.Entries, c.held+n)
	}
	return c.each(func(_ int, d *device) error {
		if got := d.Digest(); got.Sum != want.Sum || got.Entries != want.Entries {
			return fmt.Errorf("%w: %d entries of digest %x, not %d of %x", errUnequal, got.Entries, got.Sum, want.Entries, want.Sum)
		}
		return nil
	})
}

// coldSync brings all to a device that holds nothing of it.
func (c *crew) coldSync(n int) (Figures, error) {
	begun := time.Now()
	r, err := c.empty.Sync(c.ctx)
	took := time.Since(begun)
	if err == nil && r.Received != n {
		err = fmt.Errorf("%w: %d entries received, not %d", errUnequal, r.Received, n)
	}
	return Figures{
		"seconds": seconds(took), "bytes_per_entry": float64(r.BytesIn+r.BytesOut) / float64(n),
		"round_trips": float64(r.RoundTrips),
	}, err
}

// catchUps is how often a catch-up is measured on one crew.
const catchUps = 11

// catchUp brings ten new entries each way, on an open connection and then on
// new ones.
func (c *crew) catchUp(int) (Figures, error) {
	if _, err := c.caughtUp(); err != nil { // whatever was still to do
		return nil, err
	}
	var open, fresh []Figures
	for range catchUps {
		f, err := c.caughtUp()
		if err != nil {
			return nil, err
		}
		open = append(open, f)
	}
	for range 3 {
		if err := c.reopen(0); err != nil {
			return nil, err
		}
		f, err := c.caughtUp()
		if err != nil {
			return nil, err
		}
		fresh = append(fresh, f)
	}
	f, first := medians(open), medians(fresh)
	f["new_connection_bytes"], f["new_connection_ms"] = first["bytes"], first["ms"]
	return f, nil
}

// caughtUp has the first two devices write ten entries each, and measures how
// the first catches up once the second has.
func (c *crew) caughtUp() (Figures, error) {
	for _, i := range []int{1, 0} {
		if _, err := c.devices[i].Record(c.ctx, c.things.Persons[i], c.next(10)...); err != nil {
			return nil, err
		}
		if i == 1 {
			if _, err := c.devices[i].Sync(c.ctx); err != nil {
				return nil, err
			}
		}
	}
	begun := time.Now()
	r, err := c.devices[0].Sync(c.ctx)
	took := time.Since(begun)
	if err == nil && r.Sent != 10 {
		err = fmt.Errorf("%w: %d entries sent, not 10", errUnequal, r.Sent)
	}
	return Figures{
		"ms": millis(took), "round_trips": float64(r.RoundTrips), "bytes": float64(r.BytesIn + r.BytesOut),
		"message_bytes": float64(r.MessageBytes),
	}, err
}

// reopen closes a device, with its connections, and opens it again.
func (c *crew) reopen(i int) (err error) {
	if err := c.devices[i].Close(); err != nil {
		return err
	}
	c.devices[i], err = c.open(deviceName(i))
	return err
}
