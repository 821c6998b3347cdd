package server

import (
	"crypto/ed25519"
	"errors"
	"net/url"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// A server takes so many farms, and tells the next one so.
func TestFarmsPerServer(t *testing.T) {
	s, err := New(Config{Data: t.TempDir(), Listen: "127.0.0.1:0"})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for n := range exchange.MaxFarms - 1 {
		s.farms.known[entry.FarmID{byte(n), byte(n >> 8), 1}] = true
	}
	for n, want := range []error{nil, exchange.ErrBound} {
		at, err := s.FoundingAddress()
		if err != nil {
			t.Fatal(err)
		}
		u, err := url.Parse(at)
		if err != nil {
			t.Fatal(err)
		}
		key := ed25519.NewKeyFromSeed(append(make([]byte, 31), byte(n)))
		pub, device := entry.Key(key.Public().(ed25519.PublicKey)), entry.DeviceID{1: byte(n), 6: 0x70, 8: 0x80}
		farm := entry.FoundedBy(device, pub)
		h := chain.Start(farm, device, pub)
		raw, err := wire.Encode(&h, entry.Draft{Clock: 1 << 20, Body: &entry.FarmFounded{Name: "Lea", Owner: "Ada", Key: pub}})
		if err != nil {
			t.Fatal(err)
		}
		h.Advance(raw)
		run := entry.Run{Device: device, First: 1, Entries: [][]byte{raw}, Sig: entry.Sign(key, h.Hash)}
		if err := s.farms.Found(farm, run, u.Query().Get("code")); !errors.Is(err, want) {
			t.Errorf("farm %d: %v, want %v", exchange.MaxFarms+n, err, want)
		}
	}
}
