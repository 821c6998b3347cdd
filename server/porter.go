package server

import (
	"crypto/ed25519"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"turnrow/sync/entry"
	"turnrow/sync/logstore/keyfile"
)

// porters is the folder of the keys of the server's own devices, one for each
// farm. It implements replica.Keys.
type porters string

// Key implements replica.Keys.
func (p porters) Key(farm entry.FarmID) (entry.DeviceID, ed25519.PrivateKey, error) {
	return keyfile.Device(p.path(farm))
}

// NewKey implements replica.Keys. A key that was there stays beside it, under
// its device's name.
func (p porters) NewKey(farm entry.FarmID) (entry.DeviceID, ed25519.PrivateKey, error) {
	if err := os.MkdirAll(string(p), 0o700); err != nil {
		return entry.DeviceID{}, nil, err
	}
	path := p.path(farm)
	old, _, err := keyfile.Device(path)
	if err != nil {
		return entry.DeviceID{}, nil, err
	}
	if !old.IsZero() {
		if err := os.Rename(path, path+"."+old.String()); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return entry.DeviceID{}, nil, err
		}
	}
	return keyfile.NewDevice(path)
}

func (p porters) path(farm entry.FarmID) string {
	return filepath.Join(string(p), farm.String()+".pem")
}
