// Package token makes and checks the token that each call to a replica
// carries: a JSON Web Token (RFC 7519) that the device signs with its own
// Ed25519 key (EdDSA, RFC 8037), for one farm, one server and a few minutes.
//
//	sub   the device's UUID
//	farm  the farm's UUID
//	aud   the server: hex of the SHA-256 of the certificate that it showed
//	iat   when it was made, exp when it ends
//
// A token that is caught is of no use at another server, nor here a little
// later, and shows nothing but which device asked.
package token

import (
	"crypto/ed25519"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// maxText is the bytes of a token's text: ours have about 400.
const maxText = 2 << 10

// Caller is who a token speaks for.
type Caller struct {
	Farm   entry.FarmID
	Device entry.DeviceID
}

type claims struct {
	jwt.RegisteredClaims
	Farm string `json:"farm"`
}

// Sign makes a token that counts from now on for exchange.TokenSeconds at the
// server that audience names.
func Sign(key ed25519.PrivateKey, c Caller, audience string, now time.Time) (string, error) {
	t := jwt.NewWithClaims(jwt.SigningMethodEdDSA, claims{
		RegisteredClaims: jwt.RegisteredClaims{
			Subject:   c.Device.String(),
			Audience:  jwt.ClaimStrings{audience},
			IssuedAt:  jwt.NewNumericDate(now),
			ExpiresAt: jwt.NewNumericDate(now.Add(exchange.TokenSeconds * time.Second)),
		},
		Farm: c.Farm.String(),
	})
	return t.SignedString(key)
}

// Verify checks a token at the server that audience names. keyOf gives the
// public key of a device of a farm, or an error that Verify passes on. Other
// errors are exchange.ErrToken, exchange.ErrTokenTime and exchange.ErrAudience.
func Verify(text, audience string, now time.Time, keyOf func(Caller) (entry.Key, error)) (Caller, error) {
	if len(text) > maxText {
		return Caller{}, fmt.Errorf("%w: %d bytes of token, %d at most", exchange.ErrToken, len(text), maxText)
	}
	if strings.ContainsAny(text, "\r\n") { // RFC 7515, section 2: no line breaks; the library's decoder passes over them
		return Caller{}, fmt.Errorf("%w: a line break in it", exchange.ErrToken)
	}
	var c claims
	var who Caller
	var failed error
	_, err := jwt.ParseWithClaims(text, &c, func(*jwt.Token) (any, error) {
		var key entry.Key
		if who, failed = caller(c); failed == nil {
			key, failed = keyOf(who)
		}
		return ed25519.PublicKey(key[:]), failed
	},
		jwt.WithValidMethods([]string{jwt.SigningMethodEdDSA.Alg()}), jwt.WithStrictDecoding(),
		jwt.WithAudience(audience), jwt.WithIssuedAt(), jwt.WithExpirationRequired(),
		jwt.WithLeeway(exchange.LeewaySeconds*time.Second), jwt.WithTimeFunc(func() time.Time { return now }))
	switch {
	case failed != nil:
		return Caller{}, failed
	case err != nil:
		return Caller{}, meaning(err)
	}
	return who, narrow(c)
}

func caller(c claims) (Caller, error) {
	farm, err1 := entry.ParseFarm(c.Farm)
	device, err2 := entry.ParseDevice(c.Subject)
	if err := errors.Join(err1, err2); err != nil {
		return Caller{}, fmt.Errorf("%w: it names no device of a farm", exchange.ErrToken)
	}
	return Caller{farm, device}, nil
}

// meaning is the error of package exchange that one of the library's is.
func meaning(err error) error {
	switch {
	case errors.Is(err, jwt.ErrTokenSignatureInvalid), errors.Is(err, jwt.ErrTokenMalformed):
		return fmt.Errorf("%w: its signature does not fit", exchange.ErrToken)
	case errors.Is(err, jwt.ErrTokenInvalidAudience):
		return exchange.ErrAudience
	case errors.Is(err, jwt.ErrTokenExpired), errors.Is(err, jwt.ErrTokenUsedBeforeIssued):
		return exchange.ErrTokenTime
	default:
		return fmt.Errorf("%w: %w", exchange.ErrToken, err)
	}
}

// narrow refuses a token that would count for longer than one may, or at another
// server too: whoever runs that could use it here.
func narrow(c claims) error {
	if len(c.Audience) != 1 {
		return fmt.Errorf("%w: it names %d servers", exchange.ErrAudience, len(c.Audience))
	}
	if c.IssuedAt == nil || c.ExpiresAt.Sub(c.IssuedAt.Time) > exchange.TokenSeconds*time.Second {
		return fmt.Errorf("%w: it lasts longer than %d seconds", exchange.ErrToken, exchange.TokenSeconds)
	}
	return nil
}
