package syncer_test

import (
	"errors"
	"testing"

	"turnrow/client/syncer"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// session is one exchange of a replica with a peer, which it remembers.
func session(ours *replica.Replica, own entry.DeviceID, p peer, m *syncer.Memory) *syncer.Session {
	return &syncer.Session{
		Replica: ours, Peer: p, Own: own, Memory: *m,
		Keep: func(now syncer.Memory) error { *m = now; return nil },
	}
}

// A peer that says that it holds more of a device's log, or another branch of
// it, and shows nothing, makes nobody a copy.
func TestClaimsAboutTheOwnLogNeedProof(t *testing.T) {
	ada := newWriter(1)
	for _, c := range []struct {
		name string
		lie  func(exchange.Response) exchange.Response
	}{
		{"one more", func(r exchange.Response) exchange.Response {
			m := r.Stored.Mark(ada.device.Log())
			m.Seq++
			r.Stored = r.Stored.With(m)
			return r
		}},
		{"another branch", func(r exchange.Response) exchange.Response {
			m := r.Stored.Mark(ada.device.Log())
			m.Hash[0] ^= 1
			r.Stored = r.Stored.With(m)
			return r
		}},
		{"a fork", func(r exchange.Response) exchange.Response {
			r.Refusals = []exchange.Refusal{{Device: ada.device, First: 1, Err: exchange.ErrFork}}
			return r
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			ours, theirs := founded(t, ada, "one"), store(t, ada.farm())
			p := peer{Replica: theirs, after: func(r *exchange.Response) error { *r = c.lie(*r); return nil }}
			var m syncer.Memory
			for range 3 {
				if _, err := session(ours, ada.device, p, &m).CatchUp(t.Context()); errors.Is(err, syncer.ErrCopied) {
					t.Fatalf("its word alone made the device a copy: %v", err)
				}
			}
			p.after = nil // and once it is honest, all is level
			if _, err := session(ours, ada.device, p, &m).CatchUp(t.Context()); err != nil || ours.Digest() != theirs.Digest() {
				t.Errorf("afterwards: %v", err)
			}
		})
	}
}

// The honest twin: one that holds more of a device's log, or another branch of
// it, and shows it, is believed, whichever of the two wrote more.
func TestATwinIsBelievedWhenItsEntriesAreShown(t *testing.T) {
	ada := newWriter(1)
	for _, c := range []struct {
		name         string
		here, there  []string // after what both have
		wantNotWrote bool
	}{
		{"more of one branch", nil, []string{"a"}, true},
		{"another branch, as long", []string{"b"}, []string{"a"}, true},
		{"another branch, shorter", []string{"b", "c"}, []string{"a"}, true},
		{"another branch, longer", []string{"b"}, []string{"a", "d"}, true},
		{"less", []string{"b"}, nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			ours, theirs := founded(t, ada, "both"), store(t, ada.farm())
			var m syncer.Memory
			if _, err := session(ours, ada.device, peer{Replica: theirs}, &m).CatchUp(t.Context()); err != nil {
				t.Fatal(err)
			}
			for _, s := range c.there {
				write(t, theirs, ada, &entry.Noted{Text: s})
			}
			for _, s := range c.here {
				write(t, ours, ada, &entry.Noted{Text: s})
			}
			var err error
			for range 3 {
				if err == nil {
					_, err = session(ours, ada.device, peer{Replica: theirs}, &m).CatchUp(t.Context())
				}
			}
			if errors.Is(err, syncer.ErrCopied) != c.wantNotWrote {
				t.Errorf("%v", err)
			}
		})
	}
}

// A peer that starts anew at each answer, or takes back what it had stored,
// comes to an end after a few round trips, with an error of its own.
func TestExchangeWithOneThatNeverEnds(t *testing.T) {
	ada := newWriter(1)
	for _, c := range []struct {
		name string
		lie  func(n int, r *exchange.Response)
	}{
		{"a new generation at each answer", func(n int, r *exchange.Response) {
			r.Generation, r.Stored, r.More = exchange.Generation{0: byte(n), 1: 1}, nil, true
		}},
		{"stored the one log, and then the other instead", func(n int, r *exchange.Response) {
			r.Stored, r.More = chain.Frontier{r.Stored[n%2]}, true
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			ours, n := founded(t, ada, "one", "two"), 0
			bea := newWriter(2)
			write(t, ours, bea, &entry.DeviceEnrolled{Invite: bea.public(), Key: bea.public(), Name: "Bea's phone"})
			p := peer{Replica: store(t, ada.farm()), after: func(r *exchange.Response) error {
				if n++; n > 100 {
					t.Fatal("no end")
				}
				r.Stored = ours.Frontier()
				c.lie(n, r)
				return nil
			}}
			m := syncer.Memory{Generation: exchange.Generation{9}, ReadsBrief: true}
			_, err := session(ours, ada.device, p, &m).CatchUp(t.Context())
			if n > 10 || c.name == "a new generation at each answer" && !errors.Is(err, syncer.ErrEndless) {
				t.Errorf("%d round trips, %v", n, err)
			}
		})
	}
}

// What a peer held says nothing of the store that it starts anew with: all is
// offered again, and of the old marks none is remembered.
func TestMarksEndWithAGeneration(t *testing.T) {
	ada := newWriter(1)
	ours, old := founded(t, ada, "one", "two"), store(t, ada.farm())
	var m syncer.Memory
	if _, err := session(ours, ada.device, peer{Replica: old}, &m).CatchUp(t.Context()); err != nil || !m.Stored.Covers(ours.Frontier()) {
		t.Fatalf("%v, remembered %v", err, m)
	}
	rebuilt := store(t, ada.farm())
	var kept []chain.Frontier
	s := session(ours, ada.device, peer{Replica: rebuilt}, &m)
	s.Keep = func(now syncer.Memory) error { kept = append(kept, now.Stored); m = now; return nil }
	res, err := s.CatchUp(t.Context())
	if err != nil || !res.Anew || res.Sent != 3 || ours.Digest() != rebuilt.Digest() {
		t.Errorf("%+v, %v", res, err)
	}
	if len(kept) == 0 || len(kept[0]) != 0 || m.Generation != rebuilt.Generation() {
		t.Errorf("remembered %v at first, of %v", kept, m.Generation)
	}
}
