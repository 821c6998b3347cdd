package client

import (
	"context"
	"fmt"
	"time"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// Joined is a farm that this device joined.
type Joined struct {
	Farm     *Farm
	FarmName string
	Person   string   // whose device this is
	PersonID entry.ID // zero until the record is here
	Waits    bool     // what is written here counts once an owner's device or the server has let it in
	Away     error    // where the server was not reached, or knows nothing of the invite yet: the next exchange tries again
}

// Join takes up an invite. The device can record at once: what it writes counts,
// and the record comes to it, once an owner's device, or a server that is the
// farm's porter, has let it in. A server that says no leaves nothing behind; one
// that does not hold the invite yet (exchange.ErrInvite, in Joined.Away) gets it
// from the owner's device some day.
//
// A home that holds the farm's record already, but no identity that may write to
// it, takes a new one: the farm that was open there is closed once it has
// joined. Errors that a caller can act on are ErrHasFarm, ErrAddress, ErrPin,
// exchange.ErrInviteOver, ErrInviteFull and ErrProof.
func (h *Home) Join(ctx context.Context, invite, deviceName string) (Joined, error) {
	inv, err := ParseInvite(invite)
	if err != nil {
		return Joined{}, err
	}
	if now := h.now(); now.After(inv.Expires) {
		return Joined{}, fmt.Errorf("%w: it counted until %s, and this device's clock says %s",
			exchange.ErrInviteOver, inv.Expires.Format(time.RFC3339), now.Format(time.RFC3339))
	}
	h.beginning.Lock()
	defer h.beginning.Unlock()
	b, err := h.beginAgain(inv.Farm, false)
	if err != nil {
		return Joined{}, err
	}
	away, err := b.join(ctx, inv, deviceName)
	if err != nil {
		return Joined{}, b.undo(err)
	}
	f := b.done()
	return Joined{Farm: f, FarmName: inv.FarmName, Person: inv.Person, PersonID: f.Person(), Waits: f.Waits(), Away: away}, nil
}

func (b *begun) join(ctx context.Context, inv Invitation, deviceName string) (away, err error) {
	run, err := enrolment(inv, b.me, deviceName, b.home.now().UnixMilli())
	if err == nil {
		err = b.enrol(inv.Farm, inv.Server, run)
	}
	if err != nil {
		return nil, err
	}
	_, away, err = b.firstExchange(ctx, exchange.ErrInviteFull, exchange.ErrInviteOver, exchange.ErrProof, exchange.ErrKeptOut)
	return away, err
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
