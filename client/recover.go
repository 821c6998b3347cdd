package client

import (
	"context"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// Recovered is a farm that the code on paper gave back.
type Recovered struct {
	Farm     entry.FarmID
	FarmName string
	Device   entry.DeviceID
	Paper    string // the next code: to print, once; the one that was used is to be burnt
	Away     error  // where the server was not reached: the next exchange tries again
}

// Recover makes this device an owner's, above all others, with the farm's code
// on paper. On a home that holds the farm's record it takes a new identity in
// place of the one there. The code is spent by it, and another takes its place:
// until that is on paper the farm hangs on this device.
//
// It stops nobody by itself: once the record is here, see who is to go, and stop
// that device (StopPreview, Stop). Errors that a caller can act on are
// ErrHasFarm, ErrAddress, ErrPin and exchange.ErrProof.
func (c *Client) Recover(ctx context.Context, code, deviceName string) (Recovered, error) {
	paper, err := ParsePaper(code)
	if err != nil {
		return Recovered{}, err
	}
	c.beginning.Lock()
	defer c.beginning.Unlock()
	at, err := c.recoveredAt(paper)
	if err != nil {
		return Recovered{}, err
	}
	me, undo, err := c.beginAgain(paper.Farm, true)
	if err != nil {
		return Recovered{}, err
	}
	secret, next, err := newPaper()
	if err != nil {
		return Recovered{}, undo(err)
	}
	run, err := firstOf(paper.Farm, me, c.now().UnixMilli(), &entry.Recovered{
		Key: me.public(), Name: deviceName, Next: next,
		Proof: entry.Recover(paper.secret, paper.Farm, me.device, me.public(), next),
	})
	if err == nil {
		err = c.enrol(paper.Farm, at, me, run)
	}
	if err != nil {
		return Recovered{}, undo(err)
	}
	_, away, err := c.firstExchange(ctx, exchange.ErrProof)
	if err != nil {
		return Recovered{}, undo(err)
	}
	return Recovered{
		Farm: paper.Farm, FarmName: paper.FarmName, Device: me.device, Away: away,
		Paper: Paper{Server: at, Farm: paper.Farm, FarmName: paper.FarmName, secret: secret}.String(),
	}, nil
}

// recoveredAt is where the farm's server is: as the home knows, if it does, or
// else as the paper says.
func (c *Client) recoveredAt(p Paper) (Address, error) {
	if c.Farm() == p.Farm {
		if at, err := c.serverAddress(); err != nil || at.Host != "" {
			return at, err
		}
	}
	return p.Server, nil
}
