package client

import (
	"context"
	"errors"
	"fmt"

	"turnrow/client/syncer"
	"turnrow/client/transport"
	"turnrow/sync/exchange"
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
func (f *Farm) level(ctx context.Context, p *peer, me *identity) (SyncResult, error) {
	out, in, messages := p.Traffic()
	var res SyncResult
	err := f.catchUp(ctx, p, me, &res)
	if errors.Is(err, exchange.ErrStranger) || errors.Is(err, exchange.ErrFarm) || err == nil && res.Waits {
		f.anew(p, err)
		if err = f.introduce(ctx, p, me, err, &res); err == nil {
			err = f.catchUp(ctx, p, me, &res)
		}
	}
	if errors.Is(err, syncer.ErrCopied) {
		err = errors.Join(err, f.copied())
	}
	if res.RoundTrips > 0 {
		f.hearsClock(p.Ahead())
	}
	nowOut, nowIn, nowMessages := p.Traffic()
	res.BytesOut, res.BytesIn, res.MessageBytes = nowOut-out, nowIn-in, nowMessages-messages
	if errors.Is(err, ErrAway) && res.RoundTrips > 0 {
		err = fmt.Errorf("%w: %w", ErrBrokeOff, err)
	}
	return res, err
}

func (f *Farm) catchUp(ctx context.Context, p *peer, me *identity, res *SyncResult) error {
	m, err := f.memory(p.name)
	if err != nil {
		return err
	}
	s := syncer.Session{
		Replica: f.replica, Peer: p, Own: me.device, Memory: m, Trusted: p.trusted, Returning: f.behind(me) != nil, OwnFirst: f.urgent.waits(),
		Keep: func(m syncer.Memory) error { return f.remember(p.name, m) },
	}
	did, err := s.CatchUp(ctx)
	if err == nil && !did.Waits {
		err = f.settled(me)
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
func (f *Farm) anew(p *peer, err error) {
	var failed *exchange.Failure
	m, merr := f.memory(p.name)
	if merr == nil && err != nil && errors.As(err, &failed) && !m.Generation.IsZero() && failed.Generation != m.Generation {
		f.log.Warn("the other replica has started anew", "peer", p.name)
		if err := f.forget(p.name); err != nil {
			f.log.Error("cannot forget a peer", "err", err)
		}
	}
}
