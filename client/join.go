package client

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/hlc"
	"turnrow/sync/replica"
	"turnrow/sync/wire"
)

// Joined is a farm that this device joined.
type Joined struct {
	Farm     entry.FarmID
	FarmName string
	Device   entry.DeviceID
	Person   string   // whose device this is
	PersonID entry.ID // zero until the record is here
	Away     error    // where the server was not reached, or knows nothing of the invite yet: the next exchange tries again
}

// Join takes up an invite. The device can record at once; the record itself
// comes with the first exchange. A server that says no leaves nothing behind;
// one that does not hold the invite yet (exchange.ErrInvite, in Joined.Away)
// gets it from the owner's device some day. Errors that a caller can act on are
// ErrHasFarm, ErrAddress, ErrPin, exchange.ErrInviteUsed and ErrInviteOver.
func (c *Client) Join(ctx context.Context, invite, deviceName string) (Joined, error) {
	inv, err := ParseInvite(invite)
	if err != nil {
		return Joined{}, err
	}
	if now := c.now(); now.After(inv.Expires) {
		return Joined{}, fmt.Errorf("%w: it counted until %s, and this device's clock says %s",
			exchange.ErrInviteOver, inv.Expires.Format(time.RFC3339), now.Format(time.RFC3339))
	}
	me, undo, err := c.beginAgain(inv.Farm)
	if err != nil {
		return Joined{}, err
	}
	if err := c.enrol(inv, me, deviceName); err != nil {
		return Joined{}, undo(err)
	}
	j := Joined{Farm: inv.Farm, FarmName: inv.FarmName, Device: me.device, Person: inv.Person}
	if j.Away, err = c.firstExchange(ctx, exchange.ErrInviteUsed, exchange.ErrInviteOver, exchange.ErrProof); err != nil {
		return Joined{}, undo(err)
	}
	j.PersonID = c.Person()
	return j, nil
}

// beginAgain is begin, and besides it lets a home that holds the farm's record
// already, but no device that may write to it, take a new identity. The record
// stays, whatever becomes of the joining.
func (c *Client) beginAgain(id entry.FarmID) (me *identity, undo func(error) error, err error) {
	r, err := c.replica()
	if err != nil {
		me, err = c.begin()
		return me, c.undo, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if r.Farm() != id || c.me != nil && c.original(c.me) == nil && wrote(r, c.me) {
		return nil, nil, ErrHasFarm
	}
	path := filepath.Join(c.home, keyName)
	if c.me != nil {
		if err := os.Rename(path, path+"."+c.me.device.String()); err != nil {
			return nil, nil, err
		}
	}
	if me, err = makeIdentity(path); err != nil {
		return nil, nil, err
	}
	c.me = me
	return me, func(why error) error {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.me = nil
		return errors.Join(why, os.Remove(path))
	}, nil
}

// wrote says whether a device has a log: where it has none, its joining was cut
// short.
func wrote(r *replica.Replica, me *identity) bool {
	_, ok := r.Log().Head(me.device)
	return ok
}

// enrol writes this device's first entry, countersigned with the invite's
// secret.
func (c *Client) enrol(inv Invitation, me *identity, name string) error {
	if err := c.settle(inv.Farm, inv.Server, me); err != nil {
		return err
	}
	run, err := enrolment(inv, me, name, c.now().UnixMilli())
	if err != nil {
		return err
	}
	r, err := c.replica()
	if err != nil {
		return err
	}
	taken, err := r.Log().Take([]entry.Run{run}) // its own, whatever the record here knows yet
	if err == nil && len(taken.Refused) > 0 {
		err = &taken.Refused[0]
	}
	return err
}

// enrolment is a log of one entry: the device asks to join, and has seen nothing
// yet.
func enrolment(inv Invitation, me *identity, name string, wall int64) (entry.Run, error) {
	return firstOf(inv.Farm, me, wall, &entry.DeviceEnrolled{
		Invite: inv.key(), Key: me.public(), Name: name,
		Proof: entry.Countersign(inv.secret, inv.Farm, me.device, me.public()),
	})
}

// firstOf is a log of one entry, which begins it.
func firstOf(farm entry.FarmID, me *identity, wall int64, b entry.Body) (entry.Run, error) {
	h := chain.Start(farm, me.device, me.public())
	raw, err := wire.Encode(&h, entry.Draft{Clock: hlc.Next(0, wall), Wall: wall, Body: b})
	if err != nil {
		return entry.Run{}, err
	}
	h.Advance(raw)
	return entry.Run{Device: me.device, First: 1, Entries: [][]byte{raw}, Sig: entry.Sign(me.key, h.Hash)}, nil
}
