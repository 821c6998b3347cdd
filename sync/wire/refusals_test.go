package wire_test

import (
	"bytes"
	"crypto/ed25519"
	"errors"
	"slices"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// refusalVector is a run that comes to a replica which holds the first entries
// of the log in log.json, and why it is not taken.
type refusalVector struct {
	Name      string
	Held      int // entries that are held
	Farm      hexed
	Device    hexed
	First     uint64
	Entries   []hexed
	Signature hexed
	Reason    string // "" where the run is taken
	New       int    // entries that it brings
}

var reasonNames = map[string]exchange.Reason{
	"GAP": exchange.ReasonGap, "SIGNATURE": exchange.ReasonSignature, "FORK": exchange.ReasonFork,
	"MALFORMED": exchange.ReasonMalformed, "BOUND": exchange.ReasonBound, "NOTHING NEW": exchange.ReasonOther,
}

// stretch is entries first to last of a log, as a run.
func stretch(log logVector, first, last int) refusalVector {
	v := refusalVector{Farm: log.Farm, Device: log.Device, First: uint64(first), Signature: log.Entries[last-1].Signature}
	for _, e := range log.Entries[first-1 : last] {
		v.Entries = append(v.Entries, bytes.Clone(e.Bytes))
	}
	return v
}

// signed is the same with the device's own signature, whatever it holds.
func signed(v refusalVector, before entry.Hash) refusalVector {
	h := before
	for _, raw := range v.Entries {
		h = entry.NextHash(h, raw)
	}
	sig := entry.Sign(ed25519.NewKeyFromSeed(seed(1)), h)
	v.Signature = sig[:]
	return v
}

func newRefusals() []refusalVector {
	log := newLog()
	hash := func(n int) entry.Hash {
		if n == 0 {
			return entry.Hash(log.Start)
		}
		return entry.Hash(log.Entries[n-1].Hash)
	}
	var all []refusalVector
	add := func(name string, held int, v refusalVector, reason string, news int) {
		v.Name, v.Held, v.Reason, v.New = name, held, reason, news
		all = append(all, v)
	}
	change := func(v refusalVector, fn func(*refusalVector)) refusalVector { fn(&v); return v }
	add("whole, from nothing", 0, stretch(log, 1, 20), "", 20)
	add("follows on", 5, stretch(log, 6, 9), "", 4)
	add("begins in what is held", 5, stretch(log, 2, 9), "", 4)
	add("all held", 9, stretch(log, 2, 9), "NOTHING NEW", 0)
	add("a gap", 4, stretch(log, 6, 9), "GAP", 0)
	add("number 0", 4, change(stretch(log, 5, 6), func(v *refusalVector) { v.First = 0 }), "GAP", 0)
	add("a bit of an entry flipped", 4, change(stretch(log, 5, 9), func(v *refusalVector) { v.Entries[2][0] ^= 1 }), "SIGNATURE", 0)
	add("a bit of the signature flipped", 4, change(stretch(log, 5, 9), func(v *refusalVector) {
		v.Signature = bytes.Clone(v.Signature)
		v.Signature[40] ^= 16
	}), "SIGNATURE", 0)
	add("cut before its signature", 4, change(stretch(log, 5, 9), func(v *refusalVector) { v.Entries = v.Entries[:4] }), "SIGNATURE", 0)
	add("two entries swapped", 4, change(stretch(log, 5, 9), func(v *refusalVector) {
		v.Entries[1], v.Entries[2] = v.Entries[2], v.Entries[1]
	}), "SIGNATURE", 0)
	add("an entry twice", 4, change(stretch(log, 5, 9), func(v *refusalVector) {
		v.Entries = slices.Insert(v.Entries, 1, v.Entries[0])
	}), "SIGNATURE", 0)
	add("on another farm", 0, change(stretch(log, 2, 9), func(v *refusalVector) { v.First, v.Farm = 1, seed(9)[:16] }), "MALFORMED", 0)
	add("founding another farm", 0, change(stretch(log, 1, 9), func(v *refusalVector) { v.Farm = seed(9)[:16] }), "MALFORMED", 0)
	add("from another device", 0, change(stretch(log, 1, 9), func(v *refusalVector) { v.Device = devB[:] }), "MALFORMED", 0)
	add("other words, signed", 7, signed(change(stretch(log, 5, 9), func(v *refusalVector) { v.Entries[1] = v.Entries[3] }), hash(4)), "FORK", 0)
	add("torn envelope, signed", 4, signed(change(stretch(log, 5, 5), func(v *refusalVector) { v.Entries[0] = hexed{0x08} }), hash(4)), "MALFORMED", 0)
	add("a clock out of range, signed", 4, signed(change(stretch(log, 5, 5), func(v *refusalVector) {
		v.Entries[0] = hexed{0x08, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x04, 0x5a, 0x03, 0x0a, 0x01, 'x'} // 2^51 ms later
	}), hash(4)), "MALFORMED", 0)
	add("a clock that goes back, signed", 4, signed(change(stretch(log, 5, 5), func(v *refusalVector) {
		v.Entries[0] = hexed{0x08, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x01, 0x5a, 0x03, 0x0a, 0x01, 'x'} // a ms
	}), hash(4)), "", 1)
	add("a person that nobody has seen, signed", 4, signed(change(stretch(log, 5, 5), func(v *refusalVector) {
		v.Entries[0] = hexed{0x08, 0x01, 0x20, 0x44, 0x5a, 0x03, 0x0a, 0x01, 'x'}
	}), hash(4)), "MALFORMED", 0)
	add("a first entry that names no key", 0, change(stretch(log, 2, 3), func(v *refusalVector) { v.First = 1 }), "MALFORMED", 0)
	return all
}

// Each run of the vectors is taken or refused as they say, and a refused one
// leaves the head where it was.
func TestRefusalVectors(t *testing.T) {
	log := vectors(t, "log.json", newLog)
	for _, v := range vectors(t, "refusals.json", newRefusals) {
		head, held := heldHead(t, log, v)
		run := entry.Run{Device: entry.DeviceID(v.Device), First: v.First, Sig: entry.Signature(v.Signature)}
		for _, raw := range v.Entries {
			run.Entries = append(run.Entries, raw)
		}
		es, err := open(head, run, held)
		want, known := reasonNames[v.Reason]
		switch {
		case v.Reason == "" && (err != nil || len(es) != v.New):
			t.Errorf("%s: %d new, error %v", v.Name, len(es), err)
		case v.Reason != "" && (!known || err == nil || exchange.ReasonOf(err) != want):
			t.Errorf("%s: error %v, want %s", v.Name, err, v.Reason)
		case v.Reason == "NOTHING NEW" && !errors.Is(err, chain.ErrEmpty):
			t.Errorf("%s: error %v", v.Name, err)
		}
	}
}

func open(head *chain.Head, run entry.Run, held func(uint64) ([]byte, error)) ([]entry.Entry, error) {
	h := *head
	if h.Seq == 0 {
		started, err := wire.Start(h.Farm, run.Device, run.Entries[0])
		if err != nil {
			return nil, err
		}
		h = started
	}
	_, _, es, err := wire.Open(h, run, held)
	return es, err
}

// heldHead is the head of a replica that holds the beginning of the log.
func heldHead(t *testing.T, log logVector, v refusalVector) (*chain.Head, func(uint64) ([]byte, error)) {
	t.Helper()
	h := chain.Start(entry.FarmID(v.Farm), entry.DeviceID(v.Device), entry.Key(log.Key))
	for _, e := range log.Entries[:v.Held] {
		if _, err := wire.Decode(&h, e.Bytes); err != nil {
			t.Fatal(err)
		}
	}
	return &h, func(seq uint64) ([]byte, error) { return log.Entries[seq-1].Bytes, nil }
}
