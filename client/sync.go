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
// other. Errors that a caller can act on are ErrNoServer, ErrAway,
// ErrPin, syncer.ErrCopied, and those of package exchange.
func (f *Farm) Sync(ctx context.Context) (SyncResult, error) {
	res, err := f.sync(ctx)
	f.meets(err)
	return res, err
}

func (f *Farm) sync(ctx context.Context) (SyncResult, error) {
	me, err := f.writes()
	if err != nil {
		return SyncResult{}, err
	}
	at, err := f.serverAddress()
	if err != nil {
		return SyncResult{}, err
	}
	if at.Host == "" {
		return SyncResult{}, ErrNoServer
	}
	f.syncing.Lock()
	defer f.syncing.Unlock()
	conn, err := f.dial(at, me)
	if err != nil {
		return SyncResult{}, err
	}
	var res SyncResult
	err = f.urgent.during(func() error {
		return f.levelAndAdmit(&res, func() (SyncResult, error) {
			return f.level(ctx, &peer{Conn: conn, name: peerServer, code: at.Code}, me)
		})
	})
	if errors.Is(err, ErrAway) {
		f.hangUp() // the next call connects at once, and not after a wait
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
func (f *Farm) At(ctx context.Context, address string, o AtOptions) (SyncResult, error) {
	at, err := ParseAddress(address)
	if err != nil {
		return SyncResult{}, err
	}
	if _, err := f.writes(); err != nil {
		return SyncResult{}, err
	}
	f.hangUp()
	kv := at.settings()
	kv[settingPorter] = o.setting()
	if err := f.store.SetSettings(kv); err != nil {
		return SyncResult{}, err
	}
	return f.Sync(ctx)
}

func (o AtOptions) setting() []byte {
	if o.NoPorter {
		return nil
	}
	return []byte("wanted")
}

// dialed is what a connection to a server is for: none serves a server that is
// known by another certificate.
type dialed struct {
	host string
	pin  cert.Pin
}

// dial is the connection to the farm's server, kept from call to call.
func (f *Farm) dial(at Address, me *identity) (*transport.Conn, error) {
	wanted := dialed{at.Host, at.Pin}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.isClosed() {
		return nil, ErrClosed
	}
	if f.conn != nil && f.dialed == wanted {
		return f.conn, nil
	}
	if f.conn != nil {
		_ = f.conn.Close()
	}
	o := f.options(at.Host, me)
	if !at.Pin.IsZero() {
		o.Trust = pinned(at.Pin)
	}
	conn, err := transport.New(o)
	f.conn, f.dialed = conn, wanted
	return conn, err
}

func (f *Farm) options(host string, me *identity) transport.Options {
	return transport.Options{
		Address: host, Now: f.now, Logger: f.log, Roots: f.roots,
		Token: func(audience string, now time.Time) (string, error) { return me.sign(f.ID(), audience, now) },
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
func (f *Farm) hangUp() {
	f.mu.Lock()
	conn := f.conn
	f.conn = nil
	f.mu.Unlock()
	if conn != nil {
		if err := conn.Close(); err != nil {
			f.log.Debug("closing the connection", "err", err)
		}
	}
}
