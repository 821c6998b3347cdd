package client

import (
	"context"
	"errors"
	"fmt"

	"turnrow/client/syncer"
	"turnrow/client/transport"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// peer is another replica that this one can call.
type peer struct {
	*transport.Conn
	name    string      // under which it is remembered
	code    string      // founding code, where it is to take the farm in
	trusted func() bool // nil: by its pin
}

// level brings this device and a peer level. A peer that does not know the
// device, or the farm, is introduced to it first.
func (c *Client) level(ctx context.Context, p *peer, r *replica.Replica, me *identity) (SyncResult, error) {
	out, in, messages := p.Traffic()
	var res SyncResult
	err := c.catchUp(ctx, p, r, me, &res)
	if errors.Is(err, exchange.ErrStranger) || errors.Is(err, exchange.ErrFarm) || err == nil && res.Waits {
		c.anew(p, err)
		if err = c.introduce(ctx, p, r, me, err, &res); err == nil {
			err = c.catchUp(ctx, p, r, me, &res)
		}
	}
	if errors.Is(err, syncer.ErrCopied) {
		err = errors.Join(err, c.copied(me))
	}
	if res.RoundTrips > 0 {
		c.hearsClock(p.Ahead())
	}
	nowOut, nowIn, nowMessages := p.Traffic()
	res.BytesOut, res.BytesIn, res.MessageBytes = nowOut-out, nowIn-in, nowMessages-messages
	if errors.Is(err, ErrAway) && res.RoundTrips > 0 {
		err = fmt.Errorf("%w: %w", ErrBrokeOff, err)
	}
	return res, err
}

func (c *Client) catchUp(ctx context.Context, p *peer, r *replica.Replica, me *identity, res *SyncResult) error {
	m, err := c.memory(p.name)
	if err != nil {
		return err
	}
	s := syncer.Session{
		Replica: r, Peer: p, Own: me.device, Memory: m, Trusted: p.trusted, Returning: c.behind(me) != nil,
		Keep: func(m syncer.Memory) error { return c.remember(p.name, m) },
	}
	did, err := s.CatchUp(ctx)
	if err == nil && !did.Waits {
		err = c.settled(me)
	}
	res.Sent += did.Sent
	res.Received += did.Received
	res.RoundTrips += did.RoundTrips
	res.Anew = res.Anew || did.Anew
	res.Waits = did.Waits
	res.offers = did.Porter
	res.Refused = append(res.Refused, did.Refused...)
	return err
}

// anew forgets a server that says by its generation that it is another than
// the one remembered: what that one held counts as pending again.
func (c *Client) anew(p *peer, err error) {
	var f *exchange.Failure
	m, merr := c.memory(p.name)
	if merr == nil && err != nil && errors.As(err, &f) && !m.Generation.IsZero() && f.Generation != m.Generation {
		c.log.Warn("the other replica has started anew", "peer", p.name)
		if err := c.forget(p.name); err != nil {
			c.log.Error("cannot forget a peer", "err", err)
		}
	}
}
