package client

import (
	"errors"
	"iter"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/logstore"
)

// errEnough ends a walk that its caller has seen enough of.
var errEnough = errors.New("enough")

// Log gives every entry of the record as it was written, in the total order.
func (c *Client) Log() iter.Seq2[entry.Entry, error] {
	return func(yield func(entry.Entry, error) bool) {
		r, err := c.replica()
		if err != nil {
			yield(entry.Entry{}, err)
			return
		}
		err = r.Log().Each(nil, func(e entry.Entry) error {
			if !yield(e, nil) {
				return errEnough
			}
			return nil
		})
		if err != nil && !errors.Is(err, errEnough) {
			yield(entry.Entry{}, err)
		}
	}
}

// Lines gives every entry as the audit shows it: with who, on which device,
// and whether it counts. Before the device belongs to a farm there are none.
func (c *Client) Lines() (lines []farm.Line) {
	c.read(func(s *farm.State) { lines = s.Lines() })
	return lines
}

// Line is one entry as the audit shows it.
func (c *Client) Line(id entry.ID) (line farm.Line, ok bool) {
	c.read(func(s *farm.State) { line, ok = s.Line(id) })
	return line, ok
}

func (c *Client) read(fn func(*farm.State)) {
	if r, err := c.replica(); err == nil {
		r.Read(fn)
	}
}

// Digest says what this device holds, for comparing with another.
type Digest struct {
	Sum      [32]byte // of the farm's state
	Entries  uint64
	Frontier chain.Frontier
}

// Digest is the digest of the farm's state. Devices that hold the same entries
// have the same.
func (c *Client) Digest() Digest {
	r, err := c.replica()
	if err != nil {
		return Digest{}
	}
	f := r.Frontier()
	return Digest{Sum: r.Digest(), Entries: f.Entries(), Frontier: f}
}

// Verify walks every chain and signature of the record, and says what it
// found.
func (c *Client) Verify(progress func(done, total uint64)) (logstore.Report, error) {
	log, err := c.kept()
	if err != nil {
		return logstore.Report{}, err
	}
	r, err := log.Verify(progress)
	if len(r.Faults) > 0 {
		err = errors.Join(err, c.disk().Condemn()) // and is put in order when it is opened next
	}
	return r, err
}
