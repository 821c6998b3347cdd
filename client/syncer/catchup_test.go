package syncer_test

import (
	"context"
	"crypto/ed25519"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"turnrow/client/syncer"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/replica"
)

// writer is a device with its key.
type writer struct {
	device entry.DeviceID
	key    ed25519.PrivateKey
}

func newWriter(n byte) writer {
	seed := make([]byte, ed25519.SeedSize)
	seed[0] = n
	return writer{entry.DeviceID{0: n, 6: 0x70, 8: 0x80}, ed25519.NewKeyFromSeed(seed)}
}

func (w writer) public() entry.Key { return entry.Key(w.key.Public().(ed25519.PublicKey)) }

func (w writer) farm() entry.FarmID { return entry.FoundedBy(w.device, w.public(), w.public()) }

// store is an empty replica of a farm, on disk.
func store(t *testing.T, farm entry.FarmID) *replica.Replica {
	t.Helper()
	s, err := logstore.Open(t.TempDir(), logstore.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	log, err := s.Farm(farm)
	if err != nil {
		t.Fatal(err)
	}
	r, err := replica.Open(farm, s.Generation(), log)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// founded is a replica whose device founded the farm and noted some things.
func founded(t *testing.T, w writer, notes ...string) *replica.Replica {
	t.Helper()
	r := store(t, w.farm())
	write(t, r, w, &entry.FarmFounded{Name: "Upper Lea", Owner: "Ada", Key: w.public(), Paper: w.public()})
	for _, n := range notes {
		write(t, r, w, &entry.Noted{Text: n})
	}
	return r
}

func write(t *testing.T, r *replica.Replica, w writer, bodies ...entry.Body) {
	t.Helper()
	var drafts []entry.Draft
	for _, b := range bodies {
		drafts = append(drafts, entry.Draft{Body: b})
	}
	if _, err := r.Record(w.key, w.device, 1e12, drafts...); err != nil {
		t.Fatal(err)
	}
}

// peer is another replica in the same process, whose requests and answers may
// be meddled with on the way.
type peer struct {
	*replica.Replica
	before func(*exchange.Request) error
	after  func(*exchange.Response) error
}

func (p peer) Exchange(_ context.Context, req exchange.Request) (exchange.Response, error) {
	if p.before != nil {
		if err := p.before(&req); err != nil {
			return exchange.Response{}, err
		}
	}
	resp, err := p.Replica.Exchange(req)
	if err == nil && p.after != nil {
		err = p.after(&resp)
	}
	return resp, err
}

// A replica that holds nothing yet takes what is right from a hostile peer, and
// nothing else: each meddling is refused by its own error, nothing of it is
// stored, and the rest of the batch is kept.
func TestHostilePeer(t *testing.T) {
	ada, mallory := newWriter(1), newWriter(2)
	theirs := founded(t, ada, "one", "two", "three")
	elsewhere := founded(t, mallory, "x", "y", "z")
	good := run(t, theirs, ada.device)
	for _, c := range []struct {
		name   string
		meddle func(entry.Run) entry.Run
		want   error
	}{
		{"altered", func(r entry.Run) entry.Run { r.Entries[2] = append([]byte{}, r.Entries[1]...); return r }, entry.ErrSignature},
		{"reordered", func(r entry.Run) entry.Run { r.Entries[2], r.Entries[3] = r.Entries[3], r.Entries[2]; return r }, entry.ErrSignature},
		{"truncated", func(r entry.Run) entry.Run { r.Entries = r.Entries[:2]; return r }, entry.ErrSignature},
		{"gap", func(r entry.Run) entry.Run { r.First = 2; return r }, chain.ErrGap},
		{"forged", func(r entry.Run) entry.Run { r.Sig = entry.Sign(mallory.key, entry.Hash{}); return r }, entry.ErrSignature},
		{"another device's name", func(r entry.Run) entry.Run { r.Device = mallory.device; return r }, exchange.ErrMalformed},
		{"another farm's founding", func(entry.Run) entry.Run { return run(t, elsewhere, mallory.device) }, exchange.ErrMalformed},
		{"rubbish", func(r entry.Run) entry.Run { r.Entries[0] = []byte("rubbish"); return r }, exchange.ErrMalformed},
		{"too large", func(r entry.Run) entry.Run { r.Entries[3] = make([]byte, entry.MaxRaw+1); return r }, exchange.ErrBound},
	} {
		t.Run(c.name, func(t *testing.T) {
			ours := store(t, ada.farm())
			bad := c.meddle(entry.Run{Device: good.Device, First: good.First, Entries: append([][]byte{}, good.Entries...), Sig: good.Sig})
			p := peer{Replica: theirs, after: func(r *exchange.Response) error { r.Runs = []entry.Run{bad}; return nil }}
			s := syncer.Session{Replica: ours, Peer: p, Own: newWriter(3).device}
			res, _ := s.CatchUp(t.Context())
			if len(res.Refused) == 0 || !errors.Is(&res.Refused[0], c.want) {
				t.Errorf("refused %v, want %v", res.Refused, c.want)
			}
			if n := ours.Frontier().Entries(); n != 0 || res.Received != 0 {
				t.Errorf("%d entries are stored", n)
			}
			p.after = func(r *exchange.Response) error { r.Runs = append([]entry.Run{bad}, r.Runs...); return nil }
			s = syncer.Session{Replica: ours, Peer: p, Own: newWriter(3).device}
			if res, _ = s.CatchUp(t.Context()); res.Received != 4 || ours.Digest() != theirs.Digest() {
				t.Errorf("of the good in the same batch %d entries came", res.Received)
			}
		})
	}
}

func run(t *testing.T, r *replica.Replica, d entry.DeviceID) entry.Run {
	t.Helper()
	runs, more, err := r.Log().Runs(d.Log(), 1, exchange.MaxBatch)
	if err != nil || more || len(runs) != 1 {
		t.Fatalf("%d runs, more: %v, %v", len(runs), more, err)
	}
	return runs[0]
}

// A first catch-up that is cut again and again goes on where it was: all its
// parts together move hardly more bytes than one whole.
func TestCutCatchUpGoesOn(t *testing.T) {
	ada := newWriter(1)
	theirs := founded(t, ada)
	for i := range 60 {
		var bodies []entry.Body
		for j := range 50 {
			bodies = append(bodies, &entry.Noted{Text: fmt.Sprintf("note %d of batch %d %s", j, i, strings.Repeat("x", 80))})
		}
		write(t, theirs, ada, bodies...)
	}
	const batch = 32 << 10
	moved := func(cutEvery int) (bytes, cuts int) {
		ours := store(t, ada.farm())
		n := 0
		p := peer{Replica: theirs, after: func(r *exchange.Response) error {
			if n++; cutEvery > 0 && n%cutEvery == 0 {
				cuts++
				return errAway // the answer is lost on its way
			}
			for i := range r.Runs {
				bytes += r.Runs[i].Size()
			}
			return nil
		}}
		var m syncer.Memory
		for range 100 {
			s := syncer.Session{
				Replica: ours, Peer: p, Own: newWriter(3).device, Memory: m, MaxBytes: batch,
				Keep: func(now syncer.Memory) error { m = now; return nil },
			}
			if _, err := s.CatchUp(t.Context()); err == nil {
				if ours.Digest() != theirs.Digest() {
					t.Error("not level at the end")
				}
				return bytes, cuts
			}
		}
		t.Fatal("never came to the end")
		return 0, 0
	}
	whole, _ := moved(0)
	parts, cuts := moved(3)
	if cuts < 2 || parts*10 > whole*11 {
		t.Errorf("%d bytes in one, %d bytes with %d cuts", whole, parts, cuts)
	}
}

// Whether the request or its answer is lost, sending again doubles nothing, and
// what was sent counts as sent once.
func TestLostCalls(t *testing.T) {
	ada := newWriter(1)
	ours := founded(t, ada, "one", "two")
	theirs := store(t, ada.farm())
	chance := rand.New(rand.NewPCG(3, 4))
	lossy := func() error {
		if chance.IntN(3) > 0 {
			return errAway
		}
		return nil
	}
	p := peer{
		Replica: theirs,
		before:  func(*exchange.Request) error { return lossy() },
		after:   func(*exchange.Response) error { return lossy() },
	}
	var m syncer.Memory
	sent := 0
	for range 200 {
		s := syncer.Session{
			Replica: ours, Peer: p, Own: ada.device, Memory: m,
			Keep: func(now syncer.Memory) error { m = now; return nil },
		}
		res, err := s.CatchUp(t.Context())
		sent += res.Sent
		if err == nil {
			break
		}
	}
	if ours.Digest() != theirs.Digest() || theirs.Frontier().Entries() != 3 {
		t.Errorf("the other holds %d entries", theirs.Frontier().Entries())
	}
	if sent > 3 {
		t.Errorf("%d entries counted as sent", sent)
	}
}

// One batch is one round trip once the two have met.
func TestOneRoundTrip(t *testing.T) {
	ada := newWriter(1)
	ours := founded(t, ada)
	theirs := store(t, ada.farm())
	var m syncer.Memory
	level := func() syncer.Result {
		t.Helper()
		s := syncer.Session{
			Replica: ours, Peer: peer{Replica: theirs}, Own: ada.device, Memory: m,
			Keep: func(now syncer.Memory) error { m = now; return nil },
		}
		res, err := s.CatchUp(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return res
	}
	level()
	write(t, ours, ada, &entry.Noted{Text: "one"}, &entry.Noted{Text: "two"})
	if res := level(); res.RoundTrips != 1 || res.Sent != 2 {
		t.Errorf("%+v", res)
	}
	if res := level(); res.RoundTrips != 1 || res.Sent+res.Received != 0 {
		t.Errorf("with nothing missing: %+v", res)
	}
}

// older is a replica that has never heard of short names: it takes an asker that
// names its logs so for one that holds nothing.
type older struct {
	*replica.Replica
	calls []bool // whether each was brief
}

func (o *older) Exchange(_ context.Context, req exchange.Request) (exchange.Response, error) {
	o.calls = append(o.calls, req.ReadsBrief)
	if req.ReadsBrief {
		req.Have = nil
	}
	resp, err := o.Replica.Exchange(req)
	resp.ReadsBrief = false
	return resp, err
}

// An older version that comes to a known address is asked again in full, and
// what it says of an asker that it did not understand counts for nothing.
func TestOlderVersionAtAKnownAddress(t *testing.T) {
	w := newWriter(1)
	here := founded(t, w, "one")
	there := &older{Replica: store(t, w.farm())}
	var kept syncer.Memory
	s := syncer.Session{
		Replica: here, Peer: there, Own: w.device,
		Memory: syncer.Memory{Generation: there.Generation(), ReadsBrief: true},
		Keep: func(m syncer.Memory) error {
			if m.Stored.Seq(w.device.Log()) > there.Frontier().Seq(w.device.Log()) {
				t.Errorf("%v is taken for stored", m.Stored)
			}
			kept = m
			return nil
		},
	}
	if _, err := s.CatchUp(t.Context()); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(there.calls, []bool{true, false}) || kept.ReadsBrief || !kept.Stored.Covers(here.Frontier()) {
		t.Errorf("calls %v, remembered %+v", there.calls, kept)
	}
}

// twin is a replica that knows two devices of one short name.
type twin struct{ older }

func (o *twin) Exchange(_ context.Context, req exchange.Request) (exchange.Response, error) {
	o.calls = append(o.calls, req.ReadsBrief)
	if req.ReadsBrief {
		return exchange.Response{}, &exchange.Failure{Err: exchange.ErrMalformed, Text: chain.ErrShort.Error()}
	}
	return o.Replica.Exchange(req)
}

// A replica that cannot tell two short names apart is asked again in full.
func TestShortNameOfTwo(t *testing.T) {
	w := newWriter(1)
	here := founded(t, w, "one")
	there := &twin{older{Replica: store(t, w.farm())}}
	s := syncer.Session{Replica: here, Peer: there, Own: w.device, Memory: syncer.Memory{Generation: there.Generation(), ReadsBrief: true}}
	if _, err := s.CatchUp(t.Context()); err != nil || !there.Frontier().Covers(here.Frontier()) {
		t.Errorf("%v, calls %v", err, there.calls)
	}
}
