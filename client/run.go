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
// ErrNoServer where there is nothing to do, and ErrClosed where the farm was
// closed meanwhile.
func (f *Farm) Run(ctx context.Context) error {
	if f.Server() == "" {
		return ErrNoServer
	}
	ctx, stop := f.whileOpen(ctx)
	defer stop()
	l := syncer.Loop{
		Sync: func(ctx context.Context) error {
			_, err := f.Sync(ctx)
			if ctx.Err() != nil {
				f.hangUp() // it was broken off: the link may be gone
			}
			return err
		},
		Watch: f.watch, Owes: f.owes, Changed: f.replica.Changed,
		Hurry: f.urgent.tell, Urgent: f.urgent.waits,
		Back: transport.NetworkChanges(ctx), Chance: rand.Int64N, Logger: f.log,
	}
	l.Run(ctx)
	if f.isClosed() {
		return ErrClosed
	}
	return nil
}

// whileOpen is a context that ends with the farm, too.
func (f *Farm) whileOpen(ctx context.Context) (context.Context, context.CancelFunc) {
	ctx, stop := context.WithCancel(ctx)
	go func() {
		select {
		case <-f.closed:
			stop()
		case <-ctx.Done():
		}
	}()
	return ctx, stop
}

// owes says whether there are entries here that the server is not known to
// hold.
func (f *Farm) owes() bool {
	m, err := f.memory(peerServer)
	return err != nil || !m.Stored.Covers(f.replica.Have())
}

// watch listens for what is new at the server.
func (f *Farm) watch(ctx context.Context, hear func()) error {
	me, err := f.writes()
	if err != nil {
		return err
	}
	at, err := f.serverAddress()
	if err != nil {
		return err
	}
	conn, err := f.dial(at, me)
	if err != nil {
		return err
	}
	return conn.Watch(ctx, f.ID(), f.replica.Have(), func(hint exchange.Admission) {
		m, err := f.memory(peerServer)
		if err != nil || hint.Generation != m.Generation || !f.replica.Have().Covers(hint.Stored) {
			hear()
		}
	})
}

// KeepLevel is Run from when the farm has a server, which may be given meanwhile,
// until the context ends, or the farm is closed (ErrClosed).
func (f *Farm) KeepLevel(ctx context.Context) error {
	for {
		changed := f.Changed()
		if f.Server() != "" {
			return f.Run(ctx)
		}
		select {
		case <-changed:
		case <-f.Done():
			return ErrClosed
		case <-ctx.Done():
			return nil
		}
	}
}
