package server

import (
	"crypto/ed25519"
	"errors"
	"net/url"
	"runtime"
	"testing"
	"weak"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
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
		if _, _, err := foundedAt(t, s, n); !errors.Is(err, want) {
			t.Errorf("farm %d: %v, want %v", exchange.MaxFarms+n, err, want)
		}
	}
}

// foundedAt founds farm number n at a server.
func foundedAt(t *testing.T, s *Server, n int) (farm entry.FarmID, run entry.Run, err error) {
	t.Helper()
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
	farm = entry.FoundedBy(device, pub, pub)
	h := chain.Start(farm, device, pub)
	raw, err := wire.Encode(&h, entry.Draft{Clock: 1 << 20, Body: &entry.FarmFounded{Name: "Lea", Owner: "Ada", Key: pub, Paper: pub}})
	if err != nil {
		t.Fatal(err)
	}
	h.Advance(raw)
	run = entry.Run{Device: device, First: 1, Entries: [][]byte{raw}, Sig: entry.Sign(key, h.Hash)}
	return farm, run, s.farms.Found(farm, run, u.Query().Get("code"))
}

// Of farms that nobody asks for, nothing stays in memory but their names; they
// are there when somebody asks again.
func TestIdleFarmsTakeNoMemory(t *testing.T) {
	s, err := New(Config{Data: t.TempDir(), Listen: "127.0.0.1:0"})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	type kept struct {
		farm    entry.FarmID
		replica weak.Pointer[replica.Replica]
	}
	visit := func(farm entry.FarmID, do func(*replica.Replica)) {
		r, release, err := s.farms.Farm(farm)
		if err != nil {
			t.Fatal(err)
		}
		defer release()
		do(r)
	}
	var all []kept
	for n := range 2 * maxLoaded {
		farm, run, err := foundedAt(t, s, n)
		if err != nil {
			t.Fatal(err)
		}
		visit(farm, func(r *replica.Replica) {
			if _, err := r.Take([]entry.Run{run}); err != nil {
				t.Fatal(err)
			}
			all = append(all, kept{farm, weak.Make(r)})
		})
	}
	runtime.GC()
	there := 0
	for _, k := range all {
		if k.replica.Value() != nil {
			there++
		}
	}
	if there > maxLoaded {
		t.Errorf("%d farms are in memory, %d at most should be", there, maxLoaded)
	}
	visit(all[0].farm, func(r *replica.Replica) {
		if v := r.View(); v.Name != "Lea" {
			t.Errorf("a farm that was let go of comes back as %q", v.Name)
		}
	})
}
