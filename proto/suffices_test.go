package proto_test

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// This file knows of turnrow what PROTOCOL.md says, and imports nothing of it.

type hexed []byte

func (h *hexed) UnmarshalText(t []byte) (err error) {
	*h, err = hex.DecodeString(string(t))
	return err
}

func vector(t *testing.T, name string, into any) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "testdata", "vectors", name))
	if err == nil {
		err = json.Unmarshal(b, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// tagged is a tag, a byte of nought and the parts.
func tagged(tag string, parts ...[]byte) []byte {
	return append([]byte(tag+"\x00"), bytes.Join(parts, nil)...)
}

func hash(tag string, parts ...[]byte) []byte {
	h := sha256.Sum256(tagged(tag, parts...))
	return h[:]
}

func uuid8(h []byte) []byte {
	h = bytes.Clone(h[:16])
	h[6], h[8] = h[6]&0x0f|0x80, h[8]&0x3f|0x80
	return h
}

// envelope reads the fields before an entry's body: numbers, and bytes.
func envelope(b []byte) (nums map[uint64]uint64, texts map[uint64][]byte) {
	nums, texts = map[uint64]uint64{}, map[uint64][]byte{}
	next := func() uint64 { v, n := binary.Uvarint(b); b = b[n:]; return v }
	for len(b) > 0 {
		if tag := next(); tag&7 == 2 {
			n := next()
			texts[tag>>3], b = b[:n], b[n:]
		} else {
			nums[tag>>3] = next()
		}
	}
	return nums, texts
}

// The page's rules give the hashes, signatures, clocks and marks of every entry
// of the vectors, and the page's example is of these.
func TestPageSufficesForTheLog(t *testing.T) {
	var v struct {
		Farm, Device, Seed, Key, Start hexed
		Entries                        []struct {
			Bytes, Hash, Signature hexed
			Clock                  uint64
			Wall                   int64
			Seen                   []string
		}
	}
	vector(t, "log.json", &v)
	page, err := os.ReadFile("PROTOCOL.md")
	if err != nil {
		t.Fatal(err)
	}
	h := hash("turnrow log 1", v.Farm, v.Device)
	if !bytes.Equal(h, v.Start) || !strings.Contains(string(page), "h(0) = "+hex.EncodeToString(h)) {
		t.Errorf("h(0) is %x", h)
	}
	key := ed25519.NewKeyFromSeed(v.Seed)
	ms, places, seen := uint64(0), [][]byte{v.Device}, map[uint64]uint64{}
	for i, e := range v.Entries {
		h = hash("turnrow entry 1", h, e.Bytes)
		if !bytes.Equal(h, e.Hash) || !bytes.Equal(ed25519.Sign(key, tagged("turnrow signature 1", h)), e.Signature) {
			t.Fatalf("entry %d: hash %x, or its signature", i+1, h)
		}
		nums, texts := envelope(e.Bytes)
		ms += nums[1]
		wall := int64(ms) + (int64(nums[3]>>1) ^ -int64(nums[3]&1))
		if e.Clock != ms<<16|nums[2] || e.Wall != wall {
			t.Errorf("entry %d: clock %d, wall %d", i+1, ms<<16|nums[2], wall)
		}
		for m := texts[5]; len(m) > 0; m = m[16:] {
			places = append(places, m[:16])
		}
		var marks []string
		for s := texts[6]; len(s) > 0; s = s[8:] {
			step, n := binary.Uvarint(s)
			place, more := step>>1&31, step>>6
			if step&1 == 1 {
				place, more = step>>1&65535, step>>17
			}
			s = s[n:]
			seen[place] += more
			marks = append(marks, dashed(places[place])+"/"+itoa(seen[place])+" "+hex.EncodeToString(s[:8]))
		}
		if strings.Join(marks, ",") != strings.Join(e.Seen, ",") {
			t.Errorf("entry %d: seen %v, want %v", i+1, marks, e.Seen)
		}
		if i < 2 && !strings.Contains(string(page), "h("+itoa(uint64(i+1))+") = "+hex.EncodeToString(h)) ||
			i == 1 && !strings.Contains(string(page), "    "+hex.EncodeToString(e.Bytes)+"\n") {
			t.Errorf("the page has another entry %d", i+1)
		}
	}
}

// dashed is a UUID as text.
func dashed(id []byte) string {
	d := hex.EncodeToString(id)
	return strings.Join([]string{d[:8], d[8:12], d[12:16], d[16:20], d[20:]}, "-")
}

func itoa(n uint64) string { b, _ := json.Marshal(n); return string(b) }

func TestPageSufficesForThePrimitives(t *testing.T) {
	var v struct {
		Device, Key, Founded, FirstHash, Entry, NextHash, Signature, Seed, Branch hexed
		InviteSeed, Countersigned, PaperSeed, Next, Recovered                     hexed
	}
	vector(t, "primitives.json", &v)
	public := func(seed []byte) []byte { return ed25519.NewKeyFromSeed(seed).Public().(ed25519.PublicKey) }
	sign := func(seed []byte, m []byte) []byte { return ed25519.Sign(ed25519.NewKeyFromSeed(seed), m) }
	for what, pair := range map[string][2][]byte{
		"key":       {v.Key, public(v.Seed)},
		"farm":      {v.Founded, uuid8(hash("turnrow farm 2", v.Device, v.Key, public(v.PaperSeed)))},
		"h(0)":      {v.FirstHash, hash("turnrow log 1", v.Founded, v.Device)},
		"h(1)":      {v.NextHash, hash("turnrow entry 1", v.FirstHash, v.Entry)},
		"signature": {v.Signature, sign(v.Seed, tagged("turnrow signature 1", v.NextHash))},
		"branch":    {v.Branch, uuid8(hash("turnrow branch 1", v.NextHash))},
		"enrolment": {v.Countersigned, sign(v.InviteSeed, tagged("turnrow enrolment 1", v.Founded, v.Device, v.Key))},
		"recovery":  {v.Recovered, sign(v.PaperSeed, tagged("turnrow paper 1", v.Founded, v.Device, v.Key, v.Next))},
	} {
		if !bytes.Equal(pair[0], pair[1]) {
			t.Errorf("%s is %x by the page, and %x in the vectors", what, pair[1], pair[0])
		}
	}
}
