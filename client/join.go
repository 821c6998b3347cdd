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
	Waits    bool     // what is written here counts once an owner's device or the server has let it in
	Away     error    // where the server was not reached, or knows nothing of the invite yet: the next exchange tries again
}

// Join takes up an invite. The device can record at once: what it writes counts,
// and the record comes to it, once an owner's device, or a server that is the
// farm's porter, has let it in. A server that says no leaves nothing behind; one
// that does not hold the invite yet (exchange.ErrInvite, in Joined.Away) gets it
// from the owner's device some day. Errors that a caller can act on are
// ErrHasFarm, ErrAddress, ErrPin, exchange.ErrInviteOver, ErrInviteFull and
// ErrProof.
func (c *Client) Join(ctx context.Context, invite, deviceName string) (Joined, error) {
	inv, err := ParseInvite(invite)
	if err != nil {
		return Joined{}, err
	}
	if now := c.now(); now.After(inv.Expires) {
		return Joined{}, fmt.Errorf("%w: it counted until %s, and this device's clock says %s",
			exchange.ErrInviteOver, inv.Expires.Format(time.RFC3339), now.Format(time.RFC3339))
	}
	c.beginning.Lock()
	defer c.beginning.Unlock()
	me, undo, err := c.beginAgain(inv.Farm, false)
	if err != nil {
		return Joined{}, err
	}
	run, err := enrolment(inv, me, deviceName, c.now().UnixMilli())
	if err == nil {
		err = c.enrol(inv.Farm, inv.Server, me, run)
	}
	if err != nil {
		return Joined{}, undo(err)
	}
	j := Joined{Farm: inv.Farm, FarmName: inv.FarmName, Device: me.device, Person: inv.Person}
	if _, j.Away, err = c.firstExchange(ctx, exchange.ErrInviteFull, exchange.ErrInviteOver, exchange.ErrProof, exchange.ErrKeptOut); err != nil {
		return Joined{}, undo(err)
	}
	j.PersonID, j.Waits = c.Person(), c.Waits()
	return j, nil
}

// beginAgain is begin, and besides it lets a home that holds the farm's record
// already, but no device that may write to it, take a new identity; or any that
// holds it, where instead says so. The record stays, whatever becomes of the
// joining.
func (c *Client) beginAgain(id entry.FarmID, instead bool) (me *identity, undo func(error) error, err error) {
	r, err := c.replica()
	if err != nil {
		me, err = c.begin()
		return me, c.undo, err
	}
	lost := c.lost()
	c.mu.Lock()
	defer c.mu.Unlock()
	if r.Farm() != id || !instead && c.me != nil && c.original(r, c.me) == nil && !lost && wrote(r, c.me) {
		return nil, nil, ErrHasFarm
	}
	path, old := filepath.Join(c.home, keyName), c.me
	aside := path
	if old != nil {
		aside = path + "." + old.device.String()
		if err := os.Rename(path, aside); err != nil {
			return nil, nil, err
		}
	}
	back, err := c.keeping(settingServer, settingPin, settingCode, settingPorter, settingOriginal)
	if err == nil {
		me, err = makeIdentity(path)
	}
	if err != nil {
		return nil, nil, err
	}
	c.me = me
	return me, func(why error) error {
		c.mu.Lock()
		defer c.mu.Unlock()
		err := os.Remove(path)
		if c.me = old; old != nil {
			err = os.Rename(aside, path)
		}
		return errors.Join(why, err, back())
	}, nil
}

// keeping remembers settings, and gives the way to have them again as they were.
func (c *Client) keeping(keys ...string) (back func() error, err error) {
	kv := map[string][]byte{}
	for _, key := range keys {
		if kv[key], err = c.disk().Setting(key); err != nil {
			return nil, err
		}
	}
	return func() error { return c.disk().SetSettings(kv) }, nil
}

// wrote says whether a device has a log: where it has none, its joining was cut
// short.
func wrote(r *replica.Replica, me *identity) bool {
	_, ok := r.Log().Head(me.device)
	return ok
}

// enrol makes a farm this home's own, with the log that this device begins.
func (c *Client) enrol(farm entry.FarmID, at Address, me *identity, run entry.Run) error {
	if err := c.settle(farm, at, me, nil); err != nil {
		return err
	}
	log, err := c.kept()
	if err != nil {
		return err
	}
	taken, err := log.Take([]entry.Run{run}) // its own, whatever the record here knows yet
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
