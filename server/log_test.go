package server_test

import (
	"bytes"
	"crypto/ed25519"
	"encoding/base64"
	"errors"
	"io"
	"net/url"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// logs are all runs that a device holds, as it would carry them.
func logs(t *testing.T, p phone) []entry.Run {
	t.Helper()
	var file bytes.Buffer
	if _, err := p.CarryOut(&file); err != nil {
		t.Fatal(err)
	}
	in, _, err := wire.NewCarryReader(&file)
	if err != nil {
		t.Fatal(err)
	}
	var runs []entry.Run
	for {
		r, err := in.Next()
		if errors.Is(err, io.EOF) {
			return runs
		}
		if err != nil {
			t.Fatal(err)
		}
		runs = append(runs, r)
	}
}

// ownLog is the beginning of the device's own log.
func ownLog(t *testing.T, p phone) entry.Run {
	t.Helper()
	for _, r := range logs(t, p) {
		if r.Device == p.Device() {
			return r
		}
	}
	t.Fatal("a device without a log")
	return entry.Run{}
}

// writer is a device that writes whatever it likes to its log.
type writer struct {
	t    *testing.T
	head chain.Head
	key  ed25519.PrivateKey
}

func newWriter(t *testing.T, farm entry.FarmID, seed byte) *writer {
	key := ed25519.NewKeyFromSeed(bytes.Repeat([]byte{seed}, ed25519.SeedSize))
	device := entry.DeviceID{0: 1, 6: 0x70, 8: 0x80, 15: seed}
	return &writer{t, chain.Start(farm, device, entry.Key(key.Public().(ed25519.PublicKey))), key}
}

// write gives the next entries of the log, signed.
func (w *writer) write(seen []entry.Mark, bodies ...entry.Body) entry.Run {
	w.t.Helper()
	run := entry.Run{Device: w.head.Log.Device(), First: w.head.Seq + 1}
	for _, b := range bodies {
		raw, err := wire.Encode(&w.head, entry.Draft{Clock: w.head.Clock + hlc.Time(1)<<16, Seen: seen, Body: b})
		if err != nil {
			w.t.Fatal(err)
		}
		w.head.Advance(raw)
		run.Entries, seen = append(run.Entries, raw), nil
	}
	run.Sig = entry.Sign(w.key, w.head.Hash)
	return run
}

// enrols is the beginning of the log: an enrolment on the invite of a secret.
func (w *writer) enrols(invite ed25519.PrivateKey) entry.Run {
	return w.write(nil, &entry.DeviceEnrolled{
		Invite: public(invite), Key: w.head.Key, Name: "found on the road",
		Proof: entry.Countersign(invite, w.head.Farm, w.head.Log.Device(), w.head.Key),
	})
}

// enrolment is a log of one entry, of a device of its own.
func enrolment(t *testing.T, farm entry.FarmID, seed byte, invite ed25519.PrivateKey) entry.Run {
	return newWriter(t, farm, seed).enrols(invite)
}

func public(key ed25519.PrivateKey) entry.Key { return entry.Key(key.Public().(ed25519.PublicKey)) }

// noInviteOf is the secret of an invite that nobody gave.
func noInviteOf(seed byte) ed25519.PrivateKey {
	return ed25519.NewKeyFromSeed(bytes.Repeat([]byte{seed}, ed25519.SeedSize))
}

// secretOf is the secret of an invite's text.
func secretOf(t *testing.T, invite string) ed25519.PrivateKey {
	t.Helper()
	u, err := url.Parse(invite)
	if err != nil {
		t.Fatal(err)
	}
	seed, err := base64.RawURLEncoding.DecodeString(u.Query().Get("secret"))
	if err != nil || len(seed) != ed25519.SeedSize {
		t.Fatal(err, len(seed))
	}
	return ed25519.NewKeyFromSeed(seed)
}
