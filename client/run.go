package client

import (
	"context"
	"math/rand/v2"

	"turnrow/client/syncer"
	"turnrow/client/transport"
	"turnrow/sync/exchange"
)

// Run keeps the device and the farm's server level in the background, until
// the context ends: at once when there is something new on either side or the
// network is back, and after failures with a wait that grows. It gives
// ErrNoFarm or ErrNoServer where there is nothing to do.
func (c *Client) Run(ctx context.Context) error {
	r, err := c.replica()
	if err != nil {
		return err
	}
	if c.Server() == "" {
		return ErrNoServer
	}
	l := syncer.Loop{
		Sync: func(ctx context.Context) error {
			_, err := c.Sync(ctx)
			return err
		},
		Watch: c.watch, Owes: c.owes, Changed: r.Changed,
		Back: transport.NetworkChanges(ctx), Chance: rand.Int64N, Logger: c.log,
	}
	l.Run(ctx)
	return nil
}

// owes says whether there are entries here that the server is not known to
// hold.
func (c *Client) owes() bool {
	r, err := c.replica()
	if err != nil {
		return false
	}
	m, err := c.memory(peerServer)
	return err != nil || !m.Stored.Covers(r.Have())
}

// watch listens for what is new at the server.
func (c *Client) watch(ctx context.Context, hear func()) error {
	r, me, err := c.writer()
	if err != nil {
		return err
	}
	at, err := c.serverAddress()
	if err != nil {
		return err
	}
	conn, err := c.dial(at, r, me)
	if err != nil {
		return err
	}
	return conn.Watch(ctx, r.Farm(), r.Have(), func(hint exchange.Admission) {
		m, err := c.memory(peerServer)
		if err != nil || hint.Generation != m.Generation || !r.Have().Covers(hint.Stored) {
			hear()
		}
	})
}
