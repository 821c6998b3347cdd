package client

import (
	"context"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// Recovered is a farm that the code on paper gave back.
type Recovered struct {
	Farm     *Farm
	FarmName string
	Paper    string // the next code: to print, once; the one that was used is to be burnt
	Away     error  // where the server was not reached: the next exchange tries again
}

// Recover makes this device an owner's, above all others, with the farm's code
// on paper. On a home that holds the farm's record it takes a new identity in
// place of the one there, and the farm that was open there is closed. The code
// is spent by it, and another takes its place: until that is on paper the farm
// hangs on this device.
//
// It stops nobody by itself: once the record is here, see who is to go, and stop
// that device (StopPreview, Stop). Errors that a caller can act on are
// ErrHasFarm, ErrAddress, ErrPin and exchange.ErrProof.
func (h *Home) Recover(ctx context.Context, code, deviceName string) (Recovered, error) {
	paper, err := ParsePaper(code)
	if err != nil {
		return Recovered{}, err
	}
	h.beginning.Lock()
	defer h.beginning.Unlock()
	at, err := h.recoveredAt(paper)
	if err != nil {
		return Recovered{}, err
	}
	b, err := h.beginAgain(paper.Farm, true)
	if err != nil {
		return Recovered{}, err
	}
	next, away, err := b.recover(ctx, paper, at, deviceName)
	if err != nil {
		return Recovered{}, b.undo(err)
	}
	return Recovered{Farm: b.done(), FarmName: paper.FarmName, Paper: next.String(), Away: away}, nil
}

func (b *begun) recover(ctx context.Context, paper Paper, at Address, deviceName string) (next Paper, away, err error) {
	secret, key, err := newPaper()
	if err != nil {
		return Paper{}, nil, err
	}
	run, err := firstOf(paper.Farm, b.me, b.home.now().UnixMilli(), &entry.Recovered{
		Key: b.me.public(), Name: deviceName, Next: key,
		Proof: entry.Recover(paper.secret, paper.Farm, b.me.device, b.me.public(), key),
	})
	if err == nil {
		err = b.enrol(paper.Farm, at, run)
	}
	if err != nil {
		return Paper{}, nil, err
	}
	_, away, err = b.firstExchange(ctx, exchange.ErrProof)
	return Paper{Server: at, Farm: paper.Farm, FarmName: paper.FarmName, secret: secret}, away, err
}

// recoveredAt is where the farm's server is: as the home knows, if it does, or
// else as the paper says.
func (h *Home) recoveredAt(p Paper) (Address, error) {
	if f, err := h.Farm(); err == nil && f.ID() == p.Farm {
		if at, err := f.serverAddress(); err != nil || at.Host != "" {
			return at, err
		}
	}
	return p.Server, nil
}
