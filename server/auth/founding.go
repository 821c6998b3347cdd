package auth

import (
	"crypto/hkdf"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"time"

	"turnrow/sync/exchange"
)

// A founding code is 8 random bytes that name it, the hour in which it ends
// (4 bytes, hours since 1970) and 12 bytes of HMAC-SHA-256 over both, in
// base64url. The server keeps only the names of codes that were used, so
// whoever can read its key can make one while it runs.
const (
	nameBytes = 8
	hourBytes = 4
	macBytes  = 12
)

// Code names a founding code.
type Code [nameBytes]byte

// String is the name in hex: it is no secret.
func (c Code) String() string { return hex.EncodeToString(c[:]) }

func derive(key []byte) ([]byte, error) {
	return hkdf.Key(sha256.New, key, nil, "turnrow founding code 1", sha256.Size)
}

// FoundingCode is a new one-time code, good for exchange.FoundingHours.
func (i Identity) FoundingCode(now time.Time) (string, error) {
	b := make([]byte, nameBytes, nameBytes+hourBytes+macBytes)
	if _, err := rand.Read(b); err != nil {
		return "", err
	}
	b = binary.BigEndian.AppendUint32(b, uint32(hours(now)+exchange.FoundingHours))
	return base64.RawURLEncoding.EncodeToString(append(b, i.mac(b)...)), nil
}

// CheckCode gives the name of a founding code, or exchange.ErrFounding where
// this server did not make it, or where it has run out. Whether it has been
// used is for the caller to know.
func (i Identity) CheckCode(text string, now time.Time) (Code, error) {
	b, err := base64.RawURLEncoding.Strict().DecodeString(text)
	if err != nil || len(b) != nameBytes+hourBytes+macBytes {
		return Code{}, fmt.Errorf("%w: not a code", exchange.ErrFounding)
	}
	said, mac := b[:nameBytes+hourBytes], b[nameBytes+hourBytes:]
	if !hmac.Equal(mac, i.mac(said)) {
		return Code{}, fmt.Errorf("%w: this server did not give it", exchange.ErrFounding)
	}
	if hours(now) > int64(binary.BigEndian.Uint32(said[nameBytes:])) {
		return Code{}, fmt.Errorf("%w: it counted for %d hours", exchange.ErrFounding, exchange.FoundingHours)
	}
	return Code(said[:nameBytes]), nil
}

func (i Identity) mac(b []byte) []byte {
	h := hmac.New(sha256.New, i.secret)
	h.Write(b)
	return h.Sum(nil)[:macBytes]
}

func hours(t time.Time) int64 { return t.Unix() / 3600 }
