package client

import (
	"bytes"

	"turnrow/client/syncer"
	"turnrow/sync/cert"
	"turnrow/sync/logstore"
)

// The settings that a home keeps in its store.
const (
	settingFarm   = "farm"   // 16 bytes
	settingServer = "server" // HOST:PORT; none where the farm has no server
	settingPin    = "pin"    // 32 bytes; none where an authority vouches for the server
	settingCode   = "code"   // founding code, until it is spent
	settingPorter = "porter" // that the server is to be the porter, until it is
	settingMet    = "met"    // when this device last met another, ms since 1970, 8 bytes
	settingPeers  = "peers"  // JSON: name of each peer that is remembered, to its generation in hex
	settingBrief  = "brief"  // names of peers that read short names, with blanks between
	// settingOriginal is the store's generation and the device that writes to
	// it. A copy of the store has another generation.
	settingOriginal = "original"
	// Beside these, "writing.N" are the latest numbered writings: once.go.
)

// serverAddress is where the farm's server is; an empty Host where it has none.
func (f *Farm) serverAddress() (Address, error) {
	var vals [3][]byte
	for i, key := range []string{settingServer, settingPin, settingCode} {
		v, err := f.store.Setting(key)
		if err != nil {
			return Address{}, err
		}
		vals[i] = v
	}
	a := Address{Host: string(vals[0]), Code: string(vals[2])}
	if len(vals[1]) == len(a.Pin) {
		a.Pin = cert.Pin(vals[1])
	}
	return a, nil
}

// settings are an address as it is kept.
func (a Address) settings() map[string][]byte {
	kv := map[string][]byte{settingServer: nil, settingPin: nil, settingCode: nil}
	if a.Host != "" {
		kv[settingServer] = []byte(a.Host)
	}
	if !a.Pin.IsZero() {
		kv[settingPin] = a.Pin[:]
	}
	if a.Code != "" {
		kv[settingCode] = []byte(a.Code)
	}
	return kv
}

// Server is the address of the farm's server, HOST:PORT; empty where it has
// none.
func (f *Farm) Server() string {
	a, err := f.serverAddress()
	if err != nil {
		f.log.Error("cannot read the server's address", "err", err)
	}
	return a.Host
}

// original checks that this is the store that the device has always written
// to, and not a copy, and that no copy of it wrote elsewhere: two that write
// under one name part its log.
func (f *Farm) original() error {
	if d, ok := f.replica.Device(f.Device()); ok && d.Forked || f.twin.Load() {
		return syncer.ErrCopied
	}
	if f.genuine.Load() {
		return nil
	}
	v, err := f.store.Setting(settingOriginal)
	if err == nil && !bytes.Equal(v, originally(f.store, f.me)) {
		err = syncer.ErrCopied
	}
	if err == nil {
		f.genuine.Store(true)
	}
	return err
}

// copied notes that the device wrote to another store too: it writes no more
// under its name, across restarts.
func (f *Farm) copied() error {
	f.twin.Store(true)
	return f.store.SetSettings(map[string][]byte{settingOriginal: nil})
}

func originally(store *logstore.Store, me *identity) []byte {
	g := store.Generation()
	return append(g[:], me.device[:]...)
}
