package server_test

import (
	"bytes"
	"crypto/ed25519"
	"errors"
	"io"
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
func (w *writer) write(seen []entry.ID, bodies ...entry.Body) entry.Run {
	w.t.Helper()
	run := entry.Run{Device: w.head.Device, First: w.head.Seq + 1}
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

// enrols is the beginning of the log: an enrolment on an invite, countersigned
// with a secret, right or wrong.
func (w *writer) enrols(invite entry.ID, secret ed25519.PrivateKey) entry.Run {
	return w.write([]entry.ID{invite}, &entry.DeviceEnrolled{
		Invite: invite, Key: w.head.Key, Name: "found on the road",
		Proof: entry.Countersign(secret, w.head.Farm, w.head.Device, w.head.Key),
	})
}

// enrolment is a log of one entry, of a device of its own.
func enrolment(t *testing.T, farm entry.FarmID, seed byte, invite entry.ID, secret []byte) entry.Run {
	return newWriter(t, farm, seed).enrols(invite, ed25519.NewKeyFromSeed(secret))
}
