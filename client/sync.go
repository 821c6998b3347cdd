package client

import (
	"context"
	"crypto/ed25519"
	"crypto/x509"
	"errors"
	"fmt"
	"strings"
	"time"

	"turnrow/client/syncer"
	"turnrow/client/transport"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// SyncResult is what an exchange did.
type SyncResult struct {
	Sent       int   // entries that the other has newly stored
	Received   int   // entries that were new here
	RoundTrips int   // calls made
	BytesOut   int64 // on the wire, TLS and all
	BytesIn    int64
	Anew       bool               // the other had started anew: everything was offered again
	Refused    []exchange.Refusal // runs that either side did not take
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
	res, err := c.level(ctx, &peer{Conn: conn, name: peerServer, code: at.Code}, r, me)
	if errors.Is(err, ErrAway) {
		c.hangUp() // the next call connects at once, and not after a wait
	}
	return res, err
}

// At gives the farm a server: a founding address, or a new address of the
// server that it has. It exchanges at once.
func (c *Client) At(ctx context.Context, address string) (SyncResult, error) {
	at, err := ParseAddress(address)
	if err != nil {
		return SyncResult{}, err
	}
	if _, _, err := c.writer(); err != nil {
		return SyncResult{}, err
	}
	c.hangUp()
	if err := c.store.SetSettings(at.settings()); err != nil {
		return SyncResult{}, err
	}
	return c.Sync(ctx)
}

// dial is the connection to the farm's server, kept from call to call.
func (c *Client) dial(at Address, r *replica.Replica, me *identity) (*transport.Conn, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.conn != nil {
		return c.conn, nil
	}
	o := c.options(at.Host, r, me)
	if !at.Pin.IsZero() {
		o.Trust = pinned(at.Pin)
	}
	conn, err := transport.New(o)
	c.conn = conn
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

// SyncWith exchanges with another device of the farm, which meets others at an
// address, HOST:PORT. Its certificate must be over the key of a device that
// the record names, be it only in the record that it gives: until then it is
// given nothing.
func (c *Client) SyncWith(ctx context.Context, address string) (SyncResult, error) {
	res, err := c.syncWith(ctx, address)
	c.meets(err)
	return res, err
}

func (c *Client) syncWith(ctx context.Context, address string) (SyncResult, error) {
	r, me, err := c.writer()
	if err != nil {
		return SyncResult{}, err
	}
	o := c.options(hostOf(address), r, me)
	other := &host{replica: r}
	o.Trust = other.trust
	conn, err := transport.New(o)
	if err != nil {
		return SyncResult{}, fmt.Errorf("%w: %w", ErrAddress, err)
	}
	defer conn.Close()
	leaf, err := conn.Leaf(ctx)
	if err != nil {
		return SyncResult{}, err
	}
	device, key, err := shown(leaf)
	if err != nil {
		return SyncResult{}, err
	}
	return c.level(ctx, &peer{Conn: conn, name: peerDevice(device), trusted: func() bool { return other.named(device, key) }}, r, me)
}

// hostOf takes an address with or without the scheme.
func hostOf(address string) string {
	return strings.TrimSuffix(strings.TrimPrefix(address, scheme+"://"), "/")
}

// host is a device that meets others, known by its key.
type host struct{ replica *replica.Replica }

// trust lets a connection come about with a device that the record names, or
// that it does not know yet.
func (h *host) trust(leaf *x509.Certificate) error {
	device, key, err := shown(leaf)
	if err != nil {
		return err
	}
	switch d, ok := h.replica.Device(device); {
	case !ok:
		return nil
	case d.Key != key:
		return fmt.Errorf("%w: it shows another key than device %s has", ErrPin, d.Name)
	default:
		if errors.Is(h.replica.Belongs(device), exchange.ErrStopped) {
			return fmt.Errorf("%w: %s", exchange.ErrStopped, d.Name)
		}
		return nil
	}
}

// named says whether the record names the device with that key.
func (h *host) named(device entry.DeviceID, key entry.Key) bool {
	d, ok := h.replica.Device(device)
	return ok && d.Key == key && h.replica.Belongs(device) == nil
}

// shown is the device that a certificate is of, as it says: its ID is the
// certificate's name, its key the certificate's.
func shown(leaf *x509.Certificate) (entry.DeviceID, entry.Key, error) {
	device, err := entry.ParseDevice(leaf.Subject.CommonName)
	key, ok := leaf.PublicKey.(ed25519.PublicKey)
	if err != nil || !ok {
		return entry.DeviceID{}, entry.Key{}, fmt.Errorf("%w: its certificate is not a device's", syncer.ErrUnknownPeer)
	}
	return device, entry.Key(key), nil
}
