package client

import (
	"crypto/ed25519"
	"crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"github.com/google/uuid"

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

const (
	blockKey     = "PRIVATE KEY"
	headerDevice = "Device"
)

// errIdentity reports a key file that holds no device's key.
var errIdentity = errors.New("not a device's key")

// loadIdentity reads a device's key file; nil where there is none.
func loadIdentity(path string) (*identity, error) {
	b, err := keyfile.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	id, err := parseIdentity(b)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return id, nil
}

func parseIdentity(b []byte) (*identity, error) {
	block, _ := pem.Decode(b)
	if block == nil || block.Type != blockKey {
		return nil, errIdentity
	}
	device, err := entry.ParseDevice(block.Headers[headerDevice])
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errIdentity, err)
	}
	key, err := x509.ParsePKCS8PrivateKey(block.Bytes)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errIdentity, err)
	}
	private, ok := key.(ed25519.PrivateKey)
	if !ok {
		return nil, fmt.Errorf("%w: of type %T", errIdentity, key)
	}
	return &identity{device, private}, nil
}

// makeIdentity makes a device's ID and key, and keeps them.
func makeIdentity(path string) (*identity, error) {
	device, err := uuid.NewV7()
	if err != nil {
		return nil, err
	}
	_, key, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return nil, err
	}
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	text := pem.EncodeToMemory(&pem.Block{
		Type: blockKey, Bytes: der, Headers: map[string]string{headerDevice: device.String()},
	})
	return &identity{entry.DeviceID(device), key}, keyfile.Write(path, text)
}

// public is the device's public key.
func (i *identity) public() entry.Key { return entry.Key(i.key.Public().(ed25519.PublicKey)) }

// sign makes the token for a call on a farm.
func (i *identity) sign(farm entry.FarmID, audience string, now time.Time) (string, error) {
	return token.Sign(i.key, token.Caller{Farm: farm, Device: i.device}, audience, now)
}
