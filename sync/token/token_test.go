package token_test

import (
	"crypto/ed25519"
	"encoding/base64"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/token"
)

const here = "5f2d"

var (
	noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)
	who  = token.Caller{Farm: entry.FarmID{1}, Device: entry.DeviceID{2}}
	seed = ed25519.NewKeyFromSeed([]byte("0123456789abcdef0123456789abcdef"))
)

func keyOf(c token.Caller) (entry.Key, error) {
	if c != who {
		return entry.Key{}, exchange.ErrStranger
	}
	return entry.Key(seed.Public().(ed25519.PublicKey)), nil
}

func sign(t *testing.T, key ed25519.PrivateKey, c token.Caller, audience string, at time.Time) string {
	t.Helper()
	text, err := token.Sign(key, c, audience, at)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// signedWith is a token with other claims than ours.
func signedWith(t *testing.T, other map[string]any) string {
	t.Helper()
	claims := jwt.MapClaims{
		"sub": who.Device.String(), "farm": who.Farm.String(), "aud": here,
		"iat": noon.Unix(), "exp": noon.Add(time.Minute).Unix(),
	}
	for k, v := range other {
		claims[k] = v
	}
	text, err := jwt.NewWithClaims(jwt.SigningMethodEdDSA, claims).SignedString(seed)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// Each way in which a token can be wrong gives the error that says so, and
// those that are right within the leeway pass.
func TestVerify(t *testing.T) {
	other := ed25519.NewKeyFromSeed([]byte("another-key-another-key-another-"))
	claims := jwt.MapClaims{
		"sub": who.Device.String(), "farm": who.Farm.String(), "aud": here,
		"iat": noon.Unix(), "exp": noon.Add(time.Hour).Unix(),
	}
	long, err := jwt.NewWithClaims(jwt.SigningMethodEdDSA, claims).SignedString(seed)
	if err != nil {
		t.Fatal(err)
	}
	two := signedWith(t, map[string]any{"aud": []string{here, "beef"}})
	twice := signedWith(t, map[string]any{"aud": []string{here, here}})
	one := signedWith(t, map[string]any{"aud": []string{here}})
	none, err := jwt.NewWithClaims(jwt.SigningMethodNone, claims).SignedString(jwt.UnsafeAllowNoneSignatureType)
	if err != nil {
		t.Fatal(err)
	}
	mac, err := jwt.NewWithClaims(jwt.SigningMethodHS256, claims).SignedString([]byte(seed.Public().(ed25519.PublicKey)))
	if err != nil {
		t.Fatal(err)
	}
	good := sign(t, seed, who, here, noon)
	for _, c := range []struct {
		name, text string
		want       error
	}{
		{"good", good, nil},
		{"a little early", sign(t, seed, who, here, noon.Add(50*time.Second)), nil},
		{"a little late", sign(t, seed, who, here, noon.Add(-350*time.Second)), nil},
		{"of an hour ago", sign(t, seed, who, here, noon.Add(-time.Hour)), exchange.ErrTokenTime},
		{"of the future", sign(t, seed, who, here, noon.Add(time.Hour)), exchange.ErrTokenTime},
		{"for another server", sign(t, seed, who, "beef", noon), exchange.ErrAudience},
		{"for one server, in a list", one, nil},
		{"for two servers", two, exchange.ErrAudience},
		{"for this server twice", twice, exchange.ErrAudience},
		{"another key", sign(t, other, who, here, noon), exchange.ErrToken},
		{"another device", sign(t, seed, token.Caller{Farm: who.Farm, Device: entry.DeviceID{9}}, here, noon), exchange.ErrStranger},
		{"lasts an hour", long, exchange.ErrToken},
		{"unsigned", none, exchange.ErrToken},
		{"signed by MAC with the public key", mac, exchange.ErrToken},
		{"empty", "", exchange.ErrToken},
		{"words", "let me in", exchange.ErrToken},
		{"huge", strings.Repeat("x", 1<<20), exchange.ErrToken},
		{"cut", good[:len(good)-4], exchange.ErrToken},
	} {
		got, err := token.Verify(c.text, here, noon, keyOf)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
		if c.want == nil && got != who {
			t.Errorf("%s: it speaks for %v", c.name, got)
		}
	}
}

// The header is what RFC 8037, section 3.1, asks of a signature with Ed25519.
func TestHeader(t *testing.T) {
	head, _, _ := strings.Cut(sign(t, seed, who, here, noon), ".")
	b, err := base64.RawURLEncoding.DecodeString(head)
	if err != nil || string(b) != `{"alg":"EdDSA","typ":"JWT"}` {
		t.Errorf("header %s (%v)", b, err)
	}
}

func FuzzVerify(f *testing.F) {
	text, err := token.Sign(seed, who, here, noon)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add("e30.e30.")
	f.Fuzz(func(t *testing.T, s string) {
		if c, err := token.Verify(s, here, noon, keyOf); err == nil && (c != who || s != text) {
			t.Fatalf("%q was taken for %v", s, c)
		}
	})
}
