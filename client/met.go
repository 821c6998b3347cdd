package client

import (
	"encoding/binary"
	"errors"
	"sync"
	"time"
)

// metEvery is how often the time of the latest exchange is kept on disk, for
// after a restart.
const metEvery = time.Minute

// met is when this device last exchanged with anybody, and what became of the
// latest try.
type met struct {
	mu   sync.Mutex
	at   time.Time
	kept time.Time // what is on disk
	err  error
}

// Met is when this device last finished an exchange with anybody: the server,
// or another device, whichever called. The zero time is never; it holds across
// restarts. The error is why the latest try failed, nil where it did not.
func (c *Client) Met() (at time.Time, err error) {
	c.met.mu.Lock()
	defer c.met.mu.Unlock()
	return c.met.at, c.met.err
}

// readMet reads what is kept.
func (c *Client) readMet() error {
	v, err := c.disk().Setting(settingMet)
	if err != nil {
		return err
	}
	c.met.mu.Lock()
	defer c.met.mu.Unlock()
	c.met.at, c.met.err = time.Time{}, nil
	if len(v) == 8 {
		c.met.at = time.UnixMilli(int64(binary.BigEndian.Uint64(v)))
	}
	c.met.kept = c.met.at
	return nil
}

// meets notes what became of a try to exchange.
func (c *Client) meets(err error) {
	if errors.Is(err, ErrNoServer) {
		return // nothing was tried
	}
	c.met.mu.Lock()
	defer c.met.mu.Unlock()
	c.met.err = err
	if err == nil {
		c.met.at = c.now()
		c.keepMet()
	}
	c.bell.ring()
}

func (c *Client) keepMet() {
	if age := c.met.at.Sub(c.met.kept); age >= 0 && age < metEvery {
		return
	}
	v := binary.BigEndian.AppendUint64(nil, uint64(c.met.at.UnixMilli()))
	if err := c.disk().SetSettings(map[string][]byte{settingMet: v}); err != nil {
		c.log.Error("cannot keep when this device met others", "err", err)
		return
	}
	c.met.kept = c.met.at
}
