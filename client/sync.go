package client

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"time"

	"turnrow/client/transport"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// SyncResult is what an exchange did.
type SyncResult struct {
	Sent         int   // entries that the other has newly stored
	Received     int   // entries that were new here
	RoundTrips   int   // calls made
	BytesOut     int64 // on the wire, TLS and all
	BytesIn      int64
	MessageBytes int64              // of both, those of the messages themselves, compressed, without headers and TLS
	Anew         bool               // the other had started anew: everything was offered again
	Waits        bool               // this device waits to be let in: the other gave it nothing yet
	Admitted     []entry.DeviceID   // that this device let in: they had asked on an invite
	Porter       bool               // the server lets in whoever has an invite from now on
	Refused      []exchange.Refusal // runs that either side did not take

	offers entry.Mark // the server's device that offers to be the porter
}

// Sync exchanges with the farm's server until neither lacks anything of the
// other. Errors that a caller can act on are ErrNoFarm, ErrNoServer, ErrAway,
// ErrPin, syncer.ErrCopied, and those of package exchange.
func (c *Client) Sync(ctx context.Context) (SyncResult, error) {
	res, err := c.sync(ctx)
	c.meets(err)
	return res, err
}

func (c *Client) sync(ctx context.Context) (SyncResult, error) {
	r, me, err := c.writer()
	if err != nil {
		return SyncResult{}, err
	}
	at, err := c.serverAddress()
	if err != nil {
		return SyncResult{}, err
	}
	if at.Host == "" {
		return SyncResult{}, ErrNoServer
	}
	c.syncing.Lock()
	defer c.syncing.Unlock()
	conn, err := c.dial(at, r, me)
	if err != nil {
		return SyncResult{}, err
	}
	var res SyncResult
	err = c.levelAndAdmit(&res, func() (SyncResult, error) {
		return c.level(ctx, &peer{Conn: conn, name: peerServer, code: at.Code}, r, me)
	})
	if errors.Is(err, ErrAway) {
		c.hangUp() // the next call connects at once, and not after a wait
	}
	return res, err
}

// AtOptions is what becomes of a server that a farm gets.
type AtOptions struct {
	// NoPorter has the server let nobody in. Otherwise, where an owner's device
	// names the server, it lets in whoever has an invite, so that a new hand
	// counts at once.
	NoPorter bool
}

// At gives the farm a server: a founding address, or a new address of the
// server that it has. It exchanges at once.
func (c *Client) At(ctx context.Context, address string, o AtOptions) (SyncResult, error) {
	at, err := ParseAddress(address)
	if err != nil {
		return SyncResult{}, err
	}
	if _, _, err := c.writer(); err != nil {
		return SyncResult{}, err
	}
	c.hangUp()
	kv := at.settings()
	kv[settingPorter] = o.setting()
	if err := c.disk().SetSettings(kv); err != nil {
		return SyncResult{}, err
	}
	return c.Sync(ctx)
}

func (o AtOptions) setting() []byte {
	if o.NoPorter {
		return nil
	}
	return []byte("wanted")
}

// dialed is what a connection to a server is for: none serves another device, or
// a server that is known by another certificate.
type dialed struct {
	host string
	pin  cert.Pin
	farm *replica.Replica
	me   *identity
}

// dial is the connection to the farm's server, kept from call to call.
func (c *Client) dial(at Address, r *replica.Replica, me *identity) (*transport.Conn, error) {
	wanted := dialed{at.Host, at.Pin, r, me}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.conn != nil && c.dialed == wanted {
		return c.conn, nil
	}
	if c.conn != nil {
		_ = c.conn.Close()
	}
	o := c.options(at.Host, r, me)
	if !at.Pin.IsZero() {
		o.Trust = pinned(at.Pin)
	}
	conn, err := transport.New(o)
	c.conn, c.dialed = conn, wanted
	return conn, err
}

func (c *Client) options(host string, r *replica.Replica, me *identity) transport.Options {
	return transport.Options{
		Address: host, Now: c.now, Logger: c.log, Roots: c.roots,
		Token: func(audience string, now time.Time) (string, error) { return me.sign(r.Farm(), audience, now) },
	}
}

func pinned(pin cert.Pin) func(*x509.Certificate) error {
	return func(leaf *x509.Certificate) error {
		if got := cert.PinOf(leaf.Raw); got != pin {
			return fmt.Errorf("%w: pin %s, not %s", ErrPin, got, pin)
		}
		return nil
	}
}

// hangUp closes the connection to the server.
func (c *Client) hangUp() {
	c.mu.Lock()
	conn := c.conn
	c.conn = nil
	c.mu.Unlock()
	if conn != nil {
		if err := conn.Close(); err != nil {
			c.log.Debug("closing the connection", "err", err)
		}
	}
}
