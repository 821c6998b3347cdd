package client

import (
	"context"
	"crypto/ed25519"
	"crypto/x509"
	"errors"
	"fmt"
	"strings"

	"turnrow/client/syncer"
	"turnrow/client/transport"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// SyncWith exchanges with another device of the farm, which meets others at an
// address, HOST:PORT. Its certificate must be over the key of a device that
// the record names, be it only in the record that it gives: until then it is
// given nothing.
func (f *Farm) SyncWith(ctx context.Context, address string) (SyncResult, error) {
	res, err := f.syncWith(ctx, address)
	f.meets(err)
	return res, err
}

func (f *Farm) syncWith(ctx context.Context, address string) (SyncResult, error) {
	me, err := f.writes()
	if err != nil {
		return SyncResult{}, err
	}
	if err := hostPort(hostOf(address)); err != nil {
		return SyncResult{}, err
	}
	o := f.options(hostOf(address), me)
	other := &host{replica: f.replica}
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
	p := &peer{Conn: conn, name: peerDevice(device), trusted: func() bool { return other.named(device, key) }}
	var res SyncResult
	err = f.levelAndAdmit(&res, func() (SyncResult, error) { return f.level(ctx, p, me) })
	return res, err
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
