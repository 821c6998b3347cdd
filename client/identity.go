package client

import (
	"crypto/ed25519"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/logstore/keyfile"
	"turnrow/sync/token"
)

// identity is what makes a device itself: its ID and its private key. Neither
// leaves the device.
type identity struct {
	device entry.DeviceID
	key    ed25519.PrivateKey
}

// loadIdentity reads a device's key file; nil where there is none.
func loadIdentity(path string) (*identity, error) {
	device, key, err := keyfile.Device(path)
	if err != nil || device.IsZero() {
		return nil, err
	}
	return &identity{device, key}, nil
}

// makeIdentity makes a device's ID and key, and keeps them.
func makeIdentity(path string) (*identity, error) {
	device, key, err := keyfile.NewDevice(path)
	return &identity{device, key}, err
}

// public is the device's public key.
func (i *identity) public() entry.Key { return entry.Key(i.key.Public().(ed25519.PublicKey)) }

// sign makes the token for a call on a farm.
func (i *identity) sign(farm entry.FarmID, audience string, now time.Time) (string, error) {
	return token.Sign(i.key, token.Caller{Farm: farm, Device: i.device}, audience, now)
}
