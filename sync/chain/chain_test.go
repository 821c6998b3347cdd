package chain_test

import (
	"crypto/ed25519"
	"errors"
	"fmt"
	"slices"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

var (
	farm   = entry.FarmID{3}
	device = entry.DeviceID{1}
	key    = ed25519.NewKeyFromSeed(slices.Repeat([]byte{7}, ed25519.SeedSize))
)

// log is a device's log of n entries: its head at each number, and its bytes.
func log(n int, words string) (heads []chain.Head, raws [][]byte) {
	h := chain.Start(farm, device, entry.Key(key.Public().(ed25519.PublicKey)))
	heads = append(heads, h.Clone())
	for i := range n {
		raw := fmt.Appendf(nil, "%s %d", words, i+1)
		h.Advance(raw)
		heads, raws = append(heads, h.Clone()), append(raws, raw)
	}
	return heads, raws
}

func run(heads []chain.Head, raws [][]byte, first, last int) entry.Run {
	return entry.Run{Device: device, First: uint64(first), Entries: slices.Clone(raws[first-1 : last]), Sig: entry.Sign(key, heads[last].Hash)}
}

func holding(raws [][]byte) func(uint64) ([]byte, error) {
	return func(seq uint64) ([]byte, error) { return raws[seq-1], nil }
}

func TestCheck(t *testing.T) {
	heads, raws := log(9, "entry")
	others, otherRaws := log(9, "other")
	copied := append(slices.Clone(raws[:6]), otherRaws[6:]...)
	for _, c := range []struct {
		name string
		held int // entries held
		run  entry.Run
		news int // entries new
		want error
	}{
		{"from nothing", 0, run(heads, raws, 1, 9), 9, nil},
		{"follows on", 4, run(heads, raws, 5, 9), 5, nil},
		{"begins in what is held", 6, run(heads, raws, 2, 9), 3, nil},
		{"all held", 9, run(heads, raws, 2, 8), 0, chain.ErrEmpty},
		{"empty", 3, entry.Run{Device: device, First: 4}, 0, chain.ErrEmpty},
		{"gap", 3, run(heads, raws, 5, 9), 0, chain.ErrGap},
		{"number 0", 3, entry.Run{Device: device, Entries: raws}, 0, chain.ErrGap},
		{"another device", 3, entry.Run{Device: entry.DeviceID{2}, First: 4, Entries: raws[3:]}, 0, chain.ErrOther},
		{"another log", 0, run(heads, otherRaws, 1, 9), 0, entry.ErrSignature},
		{"another log, signed", 0, run(others, otherRaws, 1, 9), 9, nil},
		{"other words", 6, run(others, otherRaws, 3, 9), 0, chain.ErrFork},
		{"other words later", 8, run(heads, copied, 5, 9), 0, chain.ErrFork},
		{"too large", 9, entry.Run{Device: device, First: 10, Entries: [][]byte{make([]byte, entry.MaxRaw+1)}}, 0, chain.ErrSize},
	} {
		v, err := chain.Check(heads[c.held], c.run, holding(raws))
		if !errors.Is(err, c.want) {
			t.Errorf("%s: error %v, want %v", c.name, err, c.want)
			continue
		}
		r := v.Run()
		if len(r.Entries) != c.news {
			t.Errorf("%s: %d new entries, want %d", c.name, len(r.Entries), c.news)
		}
		if err == nil && (r.First != uint64(c.held+1) || c.name == "from nothing" && v.Hash() != heads[9].Hash) {
			t.Errorf("%s: new from %d, hash %x", c.name, r.First, v.Hash())
		}
	}
}

// A fork says where, and carries both sides' bytes.
func TestForkCarriesTheEvidence(t *testing.T) {
	heads, raws := log(9, "entry")
	copied := append(slices.Clone(raws[:6]), []byte("something else"))
	_, err := chain.Check(heads[8], entry.Run{Device: device, First: 3, Entries: copied[2:]}, holding(raws))
	var fork *chain.ForkError
	if !errors.As(err, &fork) {
		t.Fatalf("error %v", err)
	}
	if fork.Seq != 7 || fork.Device != device || string(fork.Ours) != "entry 7" || string(fork.Theirs) != "something else" {
		t.Errorf("fork %+v", fork)
	}
}

// What cannot be read is said, not taken for a fork.
func TestCheckPassesOnTroubleWithReading(t *testing.T) {
	heads, raws := log(9, "entry")
	unreadable := errors.New("no disk")
	_, err := chain.Check(heads[8], run(heads, raws, 3, 9), func(uint64) ([]byte, error) { return nil, unreadable })
	if !errors.Is(err, unreadable) {
		t.Errorf("error %v", err)
	}
}

// A bit flipped anywhere in a run or its signature, or in what stands before
// it, is refused.
func TestAnyFlippedBitIsRefused(t *testing.T) {
	heads, raws := log(5, "entry")
	for at := range 5 * 8 {
		r := run(heads, raws, 3, 5)
		i := at % 5
		head := heads[2].Clone()
		switch i {
		case 0, 1, 2:
			r.Entries[i] = slices.Clone(r.Entries[i])
			r.Entries[i][at/8] ^= 1 << (at % 8)
		case 3:
			r.Sig[at] ^= 1 << (at % 8)
		case 4:
			head.Hash[at/8] ^= 1 << (at % 8)
		}
		if _, err := chain.Check(head, r, nil); !errors.Is(err, entry.ErrSignature) {
			t.Errorf("flip %d in part %d: error %v", at, i, err)
		}
	}
}

func TestBranchNamesDiffer(t *testing.T) {
	heads, _ := log(3, "entry")
	a, b := chain.Branch(heads[1].Hash), chain.Branch(heads[2].Hash)
	if a == b || a != chain.Branch(heads[1].Hash) {
		t.Errorf("branches %s and %s", a, b)
	}
	if a[6]>>4 != 8 || a[8]>>6 != 2 {
		t.Errorf("%s is no UUID of version 8 (RFC 9562, 5.8)", a)
	}
}
