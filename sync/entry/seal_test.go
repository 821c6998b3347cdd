package entry_test

import (
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"slices"
	"testing"

	"github.com/google/uuid"

	"turnrow/sync/entry"
)

func pair(n byte) (entry.Key, ed25519.PrivateKey) {
	priv := ed25519.NewKeyFromSeed(slices.Repeat([]byte{n}, ed25519.SeedSize))
	return entry.Key(priv.Public().(ed25519.PublicKey)), priv
}

// The hashes are what the package comment says, done here by hand.
func TestHashesAsWritten(t *testing.T) {
	farm, device := entry.FarmID{1, 2, 3}, entry.DeviceID{4, 5, 6}
	h0 := sha256.Sum256(slices.Concat([]byte("turnrow log 1\x00"), farm[:], device[:]))
	if got := entry.FirstHash(farm, device); got != h0 {
		t.Errorf("h(0) is %x", got)
	}
	for _, raw := range [][]byte{{}, []byte("an entry"), make([]byte, 5000)} {
		want := sha256.Sum256(slices.Concat([]byte("turnrow entry 1\x00"), h0[:], raw))
		if got := entry.NextHash(h0, raw); got != want {
			t.Errorf("h(1) over %d bytes is %x", len(raw), got)
		}
	}
}

// RFC 8032, section 7.1, test 1: the key that the library makes of the seed.
// The signatures below are by that library, over tagged bytes of our own.
func TestTheSignaturesAreEd25519(t *testing.T) {
	seed, _ := hex.DecodeString("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
	public := "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
	priv := ed25519.NewKeyFromSeed(seed)
	if got := hex.EncodeToString(priv.Public().(ed25519.PublicKey)); got != public {
		t.Fatalf("public key %s", got)
	}
	key := entry.Key(priv.Public().(ed25519.PublicKey))
	h := entry.Hash{7}
	sig := entry.Sign(priv, h)
	if !ed25519.Verify(key[:], slices.Concat([]byte("turnrow signature 1\x00"), h[:]), sig[:]) {
		t.Error("the signature is not over the tag and the hash")
	}
	if err := entry.Verify(key, h, sig); err != nil {
		t.Error(err)
	}
}

func TestSignaturesOfOneKindAreNoneOfAnother(t *testing.T) {
	key, priv := pair(1)
	other, _ := pair(2)
	farm, device := entry.FarmID{1}, entry.DeviceID{2}
	proof := entry.Countersign(priv, farm, device, other)
	if err := entry.VerifyEnrolment(key, farm, device, other, proof); err != nil {
		t.Fatal(err)
	}
	h := entry.Hash{3}
	sig := entry.Sign(priv, h)
	for name, err := range map[string]error{
		"another hash":                entry.Verify(key, entry.Hash{4}, sig),
		"another key":                 entry.Verify(other, h, sig),
		"a bit off":                   entry.Verify(key, h, flipped(sig)),
		"a proof for a signature":     entry.Verify(key, h, proof),
		"a signature for a proof":     entry.VerifyEnrolment(key, farm, device, other, sig),
		"a proof for another farm":    entry.VerifyEnrolment(key, entry.FarmID{9}, device, other, proof),
		"a proof for another device":  entry.VerifyEnrolment(key, farm, entry.DeviceID{9}, other, proof),
		"a proof for another's key":   entry.VerifyEnrolment(key, farm, device, key, proof),
		"a proof of another's invite": entry.VerifyEnrolment(other, farm, device, other, proof),
	} {
		if !errors.Is(err, entry.ErrSignature) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func flipped(s entry.Signature) entry.Signature {
	s[10] ^= 1
	return s
}

// A farm's ID is a UUID of version 8 and the RFC 9562 variant, and names its
// founder: another device, key or paper code gives another.
func TestAFarmIsItsFounders(t *testing.T) {
	key, _ := pair(1)
	other, _ := pair(2)
	paper, _ := pair(3)
	f := entry.FoundedBy(entry.DeviceID{1}, key, paper)
	if u := uuid.UUID(f); u.Version() != 8 || u.Variant() != uuid.RFC4122 {
		t.Errorf("%s is of version %d, variant %s", u, u.Version(), u.Variant())
	}
	if f == entry.FoundedBy(entry.DeviceID{2}, key, paper) || f == entry.FoundedBy(entry.DeviceID{1}, other, paper) ||
		f == entry.FoundedBy(entry.DeviceID{1}, key, other) {
		t.Error("two founders have one farm")
	}
}

func TestIDsReadBack(t *testing.T) {
	id := entry.ID{Log: entry.DeviceID(uuid.Must(uuid.NewV7())).Log(), Seq: 42}
	if got, err := entry.ParseID(id.String()); err != nil || got != id {
		t.Errorf("%s reads as %s, %v", id, got, err)
	}
	for _, bad := range []string{"", "x", id.Log.String(), id.Log.String() + "/0", id.Log.String() + "/-1", "no-uuid/3"} {
		if _, err := entry.ParseID(bad); err == nil {
			t.Errorf("%q reads as an entry", bad)
		}
	}
}
