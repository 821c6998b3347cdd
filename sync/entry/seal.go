package entry

import (
	"crypto/ed25519"
	"crypto/sha256"
	"errors"
)

// Hash is a SHA-256 over a device's log up to one entry.
type Hash [sha256.Size]byte

// Brief is the hash's first bytes.
func (h Hash) Brief() Brief { return Brief(h[:8]) }

// Signature is a device's Ed25519 signature (RFC 8032) over the Hash of its
// log at one entry. It vouches for that entry and for all before it.
type Signature [ed25519.SignatureSize]byte

// Key is a public Ed25519 key.
type Key [ed25519.PublicKeySize]byte

// Each kind of hash and signature has a tag of its own, so that bytes made for
// one can never be taken for another.
const (
	tagFarm   = "turnrow farm 2\x00"
	tagFirst  = "turnrow log 1\x00"
	tagNext   = "turnrow entry 1\x00"
	tagSign   = "turnrow signature 1\x00"
	tagEnrol  = "turnrow enrolment 1\x00"
	tagPaper  = "turnrow paper 1\x00"
	uuidV8    = 0x80
	uuidRFC   = 0x80
	verMask   = 0x0f
	rfcMask   = 0x3f
	verOffset = 6
	rfcOffset = 8
)

// ErrSignature reports a signature that its key did not make over what it is
// said to vouch for.
var ErrSignature = errors.New("entry: signature does not fit")

// FoundedBy is the farm that a device founds with its key and a paper code's
// public half: a UUID of version 8 (RFC 9562) over all three, so that no other
// key can ever claim the same farm, nor whoever has this one put another paper
// in the place of the first.
func FoundedBy(device DeviceID, key, paper Key) FarmID {
	h := sha256.New()
	h.Write([]byte(tagFarm))
	h.Write(device[:])
	h.Write(key[:])
	h.Write(paper[:])
	f := FarmID(h.Sum(nil)[:16])
	f[verOffset] = f[verOffset]&verMask | uuidV8
	f[rfcOffset] = f[rfcOffset]&rfcMask | uuidRFC
	return f
}

// FirstHash is h(0), the hash of a device's own log on a farm before its first
// entry.
func FirstHash(farm FarmID, device DeviceID) Hash {
	var buf [len(tagFirst) + 32]byte
	n := copy(buf[:], tagFirst)
	n += copy(buf[n:], farm[:])
	copy(buf[n:], device[:])
	return sha256.Sum256(buf[:])
}

// NextHash is h(n) from h(n-1) and the bytes of entry n.
func NextHash(prev Hash, raw []byte) Hash {
	var buf [512]byte
	b := append(buf[:0], tagNext...)
	b = append(b, prev[:]...)
	b = append(b, raw...)
	return sha256.Sum256(b)
}

// Sign signs the log up to h with the device's private key.
func Sign(key ed25519.PrivateKey, h Hash) Signature {
	return Signature(ed25519.Sign(key, signed(tagSign, h[:])))
}

// Verify checks that the holder of key signed the log up to h. It gives
// ErrSignature where it did not. This is the one place where a log's signature
// is checked.
func Verify(key Key, h Hash, sig Signature) error {
	if !ed25519.Verify(key[:], signed(tagSign, h[:]), sig[:]) {
		return ErrSignature
	}
	return nil
}

// Countersign signs a device's enrolment with the secret key of its invite.
func Countersign(invite ed25519.PrivateKey, farm FarmID, device DeviceID, key Key) Signature {
	return Signature(ed25519.Sign(invite, enrolment(farm, device, key)))
}

// VerifyEnrolment checks a Countersign with the invite's public key. It gives
// ErrSignature where it does not fit.
func VerifyEnrolment(invite Key, farm FarmID, device DeviceID, key Key, sig Signature) error {
	if !ed25519.Verify(invite[:], enrolment(farm, device, key), sig[:]) {
		return ErrSignature
	}
	return nil
}

// Recover signs a device's first entry with the secret of a paper code, whose
// place the next one takes.
func Recover(paper ed25519.PrivateKey, farm FarmID, device DeviceID, key, next Key) Signature {
	return Signature(ed25519.Sign(paper, recovery(farm, device, key, next)))
}

// VerifyRecovery checks a Recover with the code's public half. It gives
// ErrSignature where it does not fit.
func VerifyRecovery(paper Key, farm FarmID, device DeviceID, key, next Key, sig Signature) error {
	if !ed25519.Verify(paper[:], recovery(farm, device, key, next), sig[:]) {
		return ErrSignature
	}
	return nil
}

func recovery(farm FarmID, device DeviceID, key, next Key) []byte {
	return signed(tagPaper, farm[:], device[:], key[:], next[:])
}

func enrolment(farm FarmID, device DeviceID, key Key) []byte {
	return signed(tagEnrol, farm[:], device[:], key[:])
}

func signed(tag string, parts ...[]byte) []byte {
	b := []byte(tag)
	for _, p := range parts {
		b = append(b, p...)
	}
	return b
}
