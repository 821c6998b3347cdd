package client

import (
	"errors"
	"fmt"
	"io"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// ErrOtherFarm reports a carry file of another farm.
var ErrOtherFarm = errors.New("the file is of another farm")

// CarryOut writes the whole record to w, to be carried to another device on a
// stick, a card or in a message. It gives the number of entries.
func (c *Client) CarryOut(w io.Writer) (entries int, err error) {
	r, me, err := c.writer()
	if err != nil {
		return 0, err
	}
	have := r.Have()
	out, err := wire.NewCarryWriter(w, wire.CarryHeader{Farm: r.Farm(), Device: me.device, Have: have})
	if err != nil {
		return 0, err
	}
	for _, m := range have {
		err := eachRun(r, m.Device, func(run *entry.Run) error {
			entries += len(run.Entries)
			return out.Run(run)
		})
		if err != nil {
			return entries, err
		}
	}
	return entries, out.Close()
}

// Carried is what a carry file brought.
type Carried struct {
	Entries int                // that were new here
	Refused []exchange.Refusal // runs that were not taken, and why

	Admitted []entry.DeviceID // that this device let in: they had asked on an invite
}

// CarryIn takes in what another device carried out, and lets in who asks to
// join. Every run is checked as if it had come over the wire. A torn file gives
// wire.ErrCarry, and what was whole before the tear is kept; one of another farm
// gives ErrOtherFarm.
func (c *Client) CarryIn(file io.Reader) (Carried, error) {
	done, err := c.carryIn(file)
	in, admitErr := c.admits()
	done.Admitted = in
	return done, firstError(err, admitErr)
}

func (c *Client) carryIn(file io.Reader) (Carried, error) {
	r, err := c.replica()
	if err != nil {
		return Carried{}, err
	}
	in, header, err := wire.NewCarryReader(file)
	if err != nil {
		return Carried{}, err
	}
	if header.Farm != r.Farm() {
		return Carried{}, fmt.Errorf("%w: %s, this one is %s", ErrOtherFarm, header.Farm, r.Farm())
	}
	var done Carried
	for {
		runs, readErr := batch(in)
		taken, err := r.Take(runs)
		done.Entries += len(taken.Entries)
		done.Refused = append(done.Refused, taken.Refused...)
		switch {
		case err != nil:
			return done, err
		case readErr == io.EOF:
			return done, nil
		case readErr != nil:
			return done, readErr
		}
	}
}

// batch reads runs up to the size of a call, so that a file of any length is
// read in little memory.
func batch(in *wire.CarryReader) (runs []entry.Run, err error) {
	for size := 0; size < exchange.UsualBatch; {
		run, err := in.Next()
		if err != nil {
			return runs, err
		}
		size += run.Size()
		runs = append(runs, run)
	}
	return runs, nil
}
