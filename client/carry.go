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
func (f *Farm) CarryOut(w io.Writer) (entries int, err error) {
	me, err := f.writes()
	if err != nil {
		return 0, err
	}
	have := f.replica.Have()
	out, err := wire.NewCarryWriter(w, wire.CarryHeader{Farm: f.ID(), Device: me.device, Have: have})
	if err != nil {
		return 0, err
	}
	for _, m := range have {
		err := eachRun(f.replica, m.Log, func(run *entry.Run) error {
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
func (f *Farm) CarryIn(file io.Reader) (Carried, error) {
	done, err := f.carryIn(file)
	in, admitErr := f.admits()
	done.Admitted = in
	return done, firstError(err, admitErr)
}

func (f *Farm) carryIn(file io.Reader) (Carried, error) {
	in, header, err := wire.NewCarryReader(file)
	if err != nil {
		return Carried{}, err
	}
	if header.Farm != f.ID() {
		return Carried{}, fmt.Errorf("%w: %s, this one is %s", ErrOtherFarm, header.Farm, f.ID())
	}
	var done Carried
	for {
		runs, readErr := batch(in)
		taken, err := f.replica.Take(runs)
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
