package keyfile

import (
	"crypto/ed25519"
	"crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"

	"github.com/google/uuid"

	"turnrow/sync/entry"
)

const (
	blockKey     = "PRIVATE KEY"
	headerDevice = "Device"
)

// ErrDevice reports a key file that holds no device's key.
var ErrDevice = errors.New("not a device's key")

// Device reads the file of a device's ID and key; the zero ID where there is no
// file.
func Device(path string) (entry.DeviceID, ed25519.PrivateKey, error) {
	b, err := Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return entry.DeviceID{}, nil, nil
	}
	if err != nil {
		return entry.DeviceID{}, nil, err
	}
	d, key, err := parse(b)
	if err != nil {
		return entry.DeviceID{}, nil, fmt.Errorf("%s: %w", path, err)
	}
	return d, key, nil
}

func parse(b []byte) (entry.DeviceID, ed25519.PrivateKey, error) {
	block, _ := pem.Decode(b)
	if block == nil || block.Type != blockKey {
		return entry.DeviceID{}, nil, ErrDevice
	}
	device, err := entry.ParseDevice(block.Headers[headerDevice])
	if err != nil {
		return entry.DeviceID{}, nil, fmt.Errorf("%w: %w", ErrDevice, err)
	}
	key, err := x509.ParsePKCS8PrivateKey(block.Bytes)
	if err != nil {
		return entry.DeviceID{}, nil, fmt.Errorf("%w: %w", ErrDevice, err)
	}
	private, ok := key.(ed25519.PrivateKey)
	if !ok {
		return entry.DeviceID{}, nil, fmt.Errorf("%w: of type %T", ErrDevice, key)
	}
	return device, private, nil
}

// NewDevice makes a device's ID and key, and keeps them in a new file.
func NewDevice(path string) (entry.DeviceID, ed25519.PrivateKey, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return entry.DeviceID{}, nil, err
	}
	_, key, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return entry.DeviceID{}, nil, err
	}
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return entry.DeviceID{}, nil, err
	}
	text := pem.EncodeToMemory(&pem.Block{
		Type: blockKey, Bytes: der, Headers: map[string]string{headerDevice: id.String()},
	})
	return entry.DeviceID(id), key, Write(path, text)
}
