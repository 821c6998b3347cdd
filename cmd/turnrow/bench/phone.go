package bench

import (
	"context"
	"crypto/x509"
	"fmt"
	"log/slog"
	"time"

	"turnrow/client"
	"turnrow/client/transport"
	"turnrow/server"
	"turnrow/sync/cert"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/simtest/workload"
	"turnrow/sync/token"
)

// phone is a device's end of the wire without a store, so that thousands fit
// into one process.
type phone struct {
	*workload.Writer
	have chain.Frontier
	gen  exchange.Generation
	at   client.Address
}

// dial is a connection of the phone's own.
func (p *phone) dial() (*transport.Conn, error) {
	return transport.New(transport.Options{
		Address: p.at.Host, Now: time.Now, Logger: slog.New(slog.DiscardHandler),
		Trust: func(leaf *x509.Certificate) error {
			if cert.PinOf(leaf.Raw) != p.at.Pin {
				return client.ErrPin
			}
			return nil
		},
		Token: func(audience string, now time.Time) (string, error) {
			return token.Sign(p.Key, token.Caller{Farm: p.Head.Farm, Device: p.Device()}, audience, now)
		},
	})
}

// exchange brings runs and takes what is new.
func (p *phone) exchange(ctx context.Context, conn *transport.Conn, runs ...entry.Run) error {
	resp, err := conn.Exchange(ctx, exchange.Request{
		Farm: p.Head.Farm, Have: p.have, Runs: runs, Generation: p.gen, MaxBytes: exchange.MaxBatch,
	})
	if err == nil && len(resp.Refusals) > 0 {
		err = &resp.Refusals[0]
	}
	if err != nil {
		return err
	}
	p.gen, p.have = resp.Generation, resp.Stored
	return nil
}

// settle brings a farm to a serving child: its founding, and all of its
// devices.
func settle(ctx context.Context, f *workload.Farm, data string) ([]*phone, error) {
	text, err := server.InviteFarm(data)
	if err != nil {
		return nil, err
	}
	at, err := client.ParseAddress(text)
	if err != nil {
		return nil, err
	}
	var phones []*phone
	for _, w := range f.Writers {
		phones = append(phones, &phone{Writer: w, at: at})
	}
	conn, err := phones[0].dial()
	if err != nil {
		return nil, err
	}
	defer conn.Close()
	if _, err := conn.Join(ctx, f.ID, f.Start[0], at.Code); err != nil {
		return nil, fmt.Errorf("founding: %w", err)
	}
	return phones, phones[0].exchange(ctx, conn, f.Start[1:]...)
}

// server starts a serving child, and gives its data folder.
func (b *bench) server(ctx context.Context) (*child, string, error) {
	data := b.folder("server")
	k, err := b.child(ctx, partServe, data)
	if err != nil {
		return nil, "", err
	}
	var s served
	if err := k.out.Decode(&s); err != nil {
		return nil, "", fmt.Errorf("serving: %w", err)
	}
	return k, data, nil
}
