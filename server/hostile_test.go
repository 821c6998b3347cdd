package server_test

import (
	"bytes"
	"crypto/ed25519"
	"slices"
	"testing"
	"time"

	"google.golang.org/protobuf/encoding/protowire"

	"turnrow/client"
	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/server"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// hostile is a device of a farm that sends what its client would not.
type hostile struct {
	phone
	*writer
	srv *server.Server
	api servicev1.ExchangeServiceClient
}

func newHostile(t *testing.T, srv *server.Server, p phone) *hostile {
	level(t, p)
	w := &writer{t: t, head: chain.Start(p.ID(), p.Device(), entry.Key(p.key.Public().(ed25519.PublicKey))), key: p.key}
	_, next, _, err := wire.Open(w.head, ownLog(t, p), nil)
	if err != nil {
		t.Fatal(err)
	}
	w.head = next
	return &hostile{p, w, srv, service(t, srv)}
}

// offer sends runs, and gives what was refused and how far the server is now.
func (h *hostile) offer(t *testing.T, runs ...entry.Run) ([]*turnrowv1.Refusal, chain.Frontier) {
	t.Helper()
	farm := h.ID()
	ctx := with(within(t), h.token(t, farm, audience(t, h.srv), time.Now()))
	resp, err := h.api.Exchange(ctx, &turnrowv1.ExchangeRequest{Farm: farm[:], Have: &turnrowv1.Frontier{}, Runs: wire.RunsOut(runs)})
	if err != nil {
		t.Fatal(err)
	}
	f, err := wire.Frontier(resp.GetStored())
	if err != nil {
		t.Fatal(err)
	}
	return resp.GetRefusals(), f
}

func clone(r entry.Run) entry.Run {
	r.Entries = slices.Clone(r.Entries)
	for i := range r.Entries {
		r.Entries[i] = bytes.Clone(r.Entries[i])
	}
	return r
}

// latest is the last run of a device's own log, with a new note at its end that
// no other has yet.
func latest(t *testing.T, p phone) entry.Run {
	t.Helper()
	ids, err := p.Record(within(t), entry.ID{}, &entry.Noted{Text: "all well"})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range logs(t, p) {
		if r.Device == p.Device() && r.Last() == ids[0].Seq {
			return r
		}
	}
	t.Fatal("the note is in no run")
	return entry.Run{}
}

// A device of the farm offers the server what is not right: each is refused
// with its reason, nothing of it is stored, and what is right beside it is.
func TestHostileDevice(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada, eve := founder(t, srv), founder(t, srv)
	mal := newHostile(t, srv, joined(t, ada, "Mal", entry.Operator))
	before := mal.head.Clone()
	run := mal.write(nil, &entry.Noted{Text: "one"}, &entry.Noted{Text: "two"}, &entry.Noted{Text: "three"})
	adas := ownLog(t, ada)
	flipped := func(r entry.Run) entry.Run { r.Entries[1][len(r.Entries[1])-1] ^= 1; return r }
	for _, c := range []struct {
		name   string
		reason turnrowv1.Reason
		bad    func(entry.Run) entry.Run
	}{
		{"altered", turnrowv1.Reason_REASON_SIGNATURE, flipped},
		{"reordered", turnrowv1.Reason_REASON_SIGNATURE, func(r entry.Run) entry.Run { slices.Reverse(r.Entries); return r }},
		{"truncated", turnrowv1.Reason_REASON_SIGNATURE, func(r entry.Run) entry.Run { r.Entries = r.Entries[:2]; return r }},
		{"forged: signed by another key", turnrowv1.Reason_REASON_SIGNATURE, func(r entry.Run) entry.Run {
			r.Sig = entry.Sign(ed25519.NewKeyFromSeed(bytes.Repeat([]byte{9}, 32)), mal.head.Hash)
			return r
		}},
		{"forged: in the owner's name", turnrowv1.Reason_REASON_SIGNATURE, func(r entry.Run) entry.Run {
			r.Device, r.First = ada.Device(), adas.Last()+1
			return r
		}},
		{"leaving out what came before", turnrowv1.Reason_REASON_GAP, func(r entry.Run) entry.Run { r.First++; return r }},
		{"the owner's own entry, later in the log", turnrowv1.Reason_REASON_GAP, func(entry.Run) entry.Run {
			r := clone(adas)
			r.First += 1000
			return r
		}},
		{"another farm's log", turnrowv1.Reason_REASON_MALFORMED, func(entry.Run) entry.Run { return ownLog(t, eve) }},
		{"no entry at all", turnrowv1.Reason_REASON_MALFORMED, func(r entry.Run) entry.Run {
			raw := []byte{0xff, 0xff, 0xff}
			h := before.Clone()
			h.Advance(raw)
			r.Entries, r.Sig = [][]byte{raw}, entry.Sign(mal.phone.key, h.Hash)
			return r
		}},
		{"too large an entry", turnrowv1.Reason_REASON_BOUND, func(r entry.Run) entry.Run {
			r.Entries[0] = make([]byte, entry.MaxRaw+1)
			return r
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, want := mal.offer(t)
			good := latest(t, ada)
			refused, got := mal.offer(t, c.bad(clone(run)), good)
			if len(refused) != 1 || refused[0].GetReason() != c.reason || refused[0].GetWhy() == "" {
				t.Errorf("refused %v, want %s", refused, c.reason)
			}
			for _, m := range got {
				seq := want.Seq(m.Log)
				if m.Log == ada.Device().Log() {
					seq = good.Last()
				}
				if m.Seq != seq {
					t.Errorf("%s is at %d, want %d", m.Log, m.Seq, seq)
				}
			}
		})
	}
	// What is right goes in, and a second and a hundredth time changes nothing.
	for range 3 {
		if refused, got := mal.offer(t, run, run); len(refused) > 0 || got.Seq(mal.Device().Log()) != run.Last() {
			t.Errorf("refused %v, at %d", refused, got.Seq(mal.Device().Log()))
		}
	}
	if c, err := srv.Farms(); err != nil || len(c) != 2 {
		t.Errorf("farms %v (%v)", c, err)
	}
}

// An entry of a version to come is kept whole, passed on and shown, whatever it
// says.
func TestEntryOfAVersionToCome(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	mal := newHostile(t, srv, joined(t, ada, "Mal", entry.Operator))
	raw := protowire.AppendVarint(protowire.AppendTag(nil, 1, protowire.VarintType), 1000)
	raw = protowire.AppendBytes(protowire.AppendTag(raw, 2000, protowire.BytesType), []byte("sown from the air"))
	run := entry.Run{Device: mal.Device(), First: mal.head.Seq + 1, Entries: [][]byte{raw}}
	mal.head.Advance(raw)
	run.Sig = entry.Sign(mal.phone.key, mal.head.Hash)
	if refused, _ := mal.offer(t, run); len(refused) > 0 {
		t.Fatalf("refused %v", refused)
	}
	level(t, ada)
	l, ok := ada.Line(entry.ID{Log: mal.Device().Log(), Seq: run.First})
	if u, is := l.Body.(*entry.Unknown); !ok || !is || l.LeftOut == "" || !bytes.Contains(u.Raw, []byte("sown from the air")) {
		t.Errorf("the owner's device shows %+v", l)
	}
}

// A device brings logs of devices that never joined: so many are kept, as a
// joiner's log may come before its invite. Those beyond are refused, and the
// rest of the batch is kept; whoever does join is let in all the same.
func TestStrangers(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	mal := newHostile(t, srv, joined(t, ada, "Mal", entry.Operator))
	stranger := func(n byte) entry.Run {
		return enrolment(t, ada.ID(), n, noInviteOf(0))
	}
	// A joiner whose invite is still on the owner's phone, brought by another.
	invite, err := ada.Invite(within(t), "Cleo", entry.Helper)
	if err != nil {
		t.Fatal(err)
	}
	cleo := openPhone(t, func(c *client.Home) error {
		_, err := c.Join(within(t), invite, "Cleo's phone")
		return err
	})
	if refused, got := mal.offer(t, ownLog(t, cleo)); len(refused) > 0 || got.Seq(cleo.Device().Log()) != 1 {
		t.Errorf("a joiner's log ahead of the invite: refused %v", refused)
	}
	var crowd []entry.Run
	for n := range exchange.MaxStrangers + 20 {
		crowd = append(crowd, stranger(byte(100+n)))
	}
	good := mal.write(nil, &entry.Noted{Text: "met a crowd"})
	refused, got := mal.offer(t, append(crowd, good)...)
	const members = 3 // the owner's device, Mal's and the server's
	if len(refused) != 21 || len(got) != exchange.MaxStrangers+members || got.Seq(mal.Device().Log()) != good.Last() {
		t.Errorf("%d of %d strangers are refused, %d logs are kept", len(refused), len(crowd), len(got))
	}
	for _, r := range refused {
		if r.GetReason() != turnrowv1.Reason_REASON_STRANGER {
			t.Errorf("refused %v", r)
		}
	}
	level(t, ada) // brings the invite
	level(t, cleo)
	dora := joined(t, ada, "Dora", entry.Helper)
	if _, got := mal.offer(t); got.Seq(dora.Device().Log()) != 1 || got.Seq(cleo.Device().Log()) == 0 {
		t.Errorf("who joins is kept out by strangers: %v", got)
	}
}

// A stranger's log is kept up to a length.
func TestLongLogOfAStranger(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	mal := newHostile(t, srv, ada)
	w := newWriter(t, ada.ID(), 50)
	runs := []entry.Run{w.enrols(noInviteOf(0))}
	short := slices.Repeat([]entry.Body{&entry.Noted{Text: "x"}}, 1000)
	for range 11 {
		runs = append(runs, w.write(nil, short...))
	}
	refused, got := mal.offer(t, runs...)
	if seq := got.Seq(w.head.Log); len(refused) != 2 || seq > exchange.StrangerEntries || seq < exchange.StrangerEntries/2 {
		t.Errorf("%d entries of a stranger are kept, refused %v", seq, refused)
	}
}

// A stranger's log that a member gave to an honest device, and for which the
// server has no room, fails none of that device's exchanges.
func TestStrangersLogsFailNoSync(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	mal := newHostile(t, srv, joined(t, ada, "Mal", entry.Operator))
	level(t, ada)
	var crowd []entry.Run
	for n := range exchange.MaxStrangers {
		crowd = append(crowd, enrolment(t, ada.ID(), byte(100+n), noInviteOf(0)))
	}
	var file bytes.Buffer
	w, err := wire.NewCarryWriter(&file, wire.CarryHeader{Farm: ada.ID(), Device: mal.Device()})
	if err != nil {
		t.Fatal(err)
	}
	stray := enrolment(t, ada.ID(), 99, noInviteOf(0))
	if err := w.Run(&stray); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := ada.CarryIn(&file); err != nil {
		t.Fatal(err)
	}
	mal.offer(t, crowd...)
	if _, err := ada.Record(within(t), entry.ID{}, &entry.Noted{Text: "all well"}); err != nil {
		t.Fatal(err)
	}
	res, err := ada.Sync(within(t))
	if err != nil || res.Sent != 1 {
		t.Errorf("%d entries sent, %v", res.Sent, err)
	}
}
