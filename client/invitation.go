package client

import (
	"crypto/ed25519"
	"encoding/base64"
	"fmt"
	"net"
	"net/url"
	"strconv"
	"strings"
	"time"

	"turnrow/sync/cert"
	"turnrow/sync/entry"
)

// scheme begins every address and invite.
const scheme = "turnrow"

// Address is where a server is and how it is known: turnrow://HOST:PORT/ with
// the certificate's pin, and for the first farm's founding a one-time code. An
// address without a pin is of a server with a certificate that an authority
// vouches for.
type Address struct {
	Host string // HOST:PORT; empty where the farm has no server
	Pin  cert.Pin
	Code string
}

// ParseAddress reads an address. ErrAddress says what is wrong.
func ParseAddress(text string) (Address, error) {
	u, err := parseLink(text, isAddress)
	if err != nil {
		return Address{}, err
	}
	return address(u, true)
}

func parseURL(text string) (*url.URL, error) {
	u, err := url.Parse(strings.TrimSpace(text))
	if err != nil {
		return nil, fmt.Errorf("%w: %q cannot be read: copy it again, all of it", ErrAddress, beginning(text))
	}
	if u.Scheme != scheme {
		return nil, fmt.Errorf("%w: %q does not begin with %s://: copy it again, all of it, from where it was printed", ErrAddress, beginning(text), scheme)
	}
	return u, nil
}

// What a link may be, by the part that only it has.
const (
	isAddress = ""
	isInvite  = "secret"
	isPaper   = "paper"
)

// What a link is instead of the one wanted. Each is an ErrAddress.
var (
	ErrIsPaper    error = wrongLink("this is a farm's code on paper")
	ErrIsInvite   error = wrongLink("this is an invite")
	ErrIsFounding error = wrongLink("this is a server's founding address")
)

// parseLink reads a link of one kind, and says of another what it is.
func parseLink(text, wanted string) (*url.URL, error) {
	u, err := parseURL(text)
	if err != nil {
		return nil, err
	}
	switch q := u.Query(); {
	case wanted != isPaper && q.Has(isPaper):
		return nil, ErrIsPaper
	case wanted != isInvite && q.Has(isInvite):
		return nil, ErrIsInvite
	case wanted != isAddress && q.Has("code"):
		return nil, ErrIsFounding
	}
	return u, nil
}

// wrongLink is the ErrAddress of a link of another kind, and says which.
type wrongLink string

func (w wrongLink) Error() string { return string(w) }

// Is makes it an ErrAddress.
func (w wrongLink) Is(target error) bool { return target == ErrAddress }

// beginning is as much of a text as tells which it is, and no secret.
func beginning(text string) string {
	const shown = 24
	if r := []rune(text); len(r) > shown {
		return string(r[:shown]) + ".."
	}
	return text
}

// hostPort wants HOST:PORT.
func hostPort(text string) error {
	if host, port, err := net.SplitHostPort(text); err != nil || host == "" || port == "" {
		return fmt.Errorf("%w: %q: HOST:PORT is wanted, such as 192.168.1.20:7415", ErrAddress, text)
	}
	return nil
}

func address(u *url.URL, needed bool) (Address, error) {
	q := u.Query()
	a := Address{Host: u.Host, Code: q.Get("code")}
	if needed || a.Host != "" {
		if err := hostPort(a.Host); err != nil {
			return Address{}, err
		}
	}
	if pin := q.Get("pin"); pin != "" {
		var err error
		if a.Pin, err = cert.ParsePin(pin); err != nil {
			return Address{}, fmt.Errorf("%w: %w", ErrAddress, err)
		}
		if a.Pin.IsZero() {
			return Address{}, fmt.Errorf("%w: pin=%s is no certificate's", ErrAddress, pin)
		}
	}
	return a, nil
}

func (a Address) values() url.Values {
	q := url.Values{}
	if !a.Pin.IsZero() {
		q.Set("pin", a.Pin.String())
	}
	if a.Code != "" {
		q.Set("code", a.Code)
	}
	return q
}

// String is the address as ParseAddress reads it.
func (a Address) String() string { return link(a.Host, a.values()) }

func link(host string, q url.Values) string {
	u := url.URL{Scheme: scheme, Host: host, Path: "/", RawQuery: q.Encode()}
	if host == "" {
		return scheme + "://" + u.Path + "?" + u.RawQuery
	}
	return u.String()
}

// Invitation is an invite as it is handed to who joins, as text or QR. Whoever
// holds it can take the place that it offers, once.
type Invitation struct {
	Server   Address // of the farm's server; empty where it has none
	Farm     entry.FarmID
	FarmName string     // to show
	Person   string     // to show
	Role     entry.Role // to show
	Expires  time.Time
	secret   ed25519.PrivateKey
}

// key is the invite's public half, by which the record names it.
func (i Invitation) key() entry.Key { return entry.Key(i.secret.Public().(ed25519.PublicKey)) }

// String is the invite's text. It is a secret until it is used.
func (i Invitation) String() string {
	q := i.Server.values()
	q.Set("farm", b64(i.Farm[:]))
	q.Set("name", i.FarmName)
	q.Set("person", i.Person)
	q.Set("role", i.Role.String())
	q.Set("until", strconv.FormatInt(i.Expires.UnixMilli(), 36))
	q.Set("secret", b64(i.secret.Seed()))
	return link(i.Server.Host, q)
}

// ParseInvite reads an invite's text. ErrAddress says what is wrong.
func ParseInvite(text string) (Invitation, error) {
	u, err := parseLink(text, isInvite)
	if err != nil {
		return Invitation{}, err
	}
	p := fields{q: u.Query()}
	i := Invitation{FarmName: p.q.Get("name"), Person: p.q.Get("person")}
	i.Server, err = address(u, false)
	p.note(err)
	i.Farm = entry.FarmID(p.bytes("farm", 16))
	i.Expires = time.UnixMilli(int64(p.number("until", 36)))
	i.secret = ed25519.NewKeyFromSeed(p.bytes("secret", ed25519.SeedSize))
	i.Role, _ = entry.ParseRole(p.q.Get("role"))
	return i, p.err
}

// fields reads the parts of an invite, and keeps what was wrong.
type fields struct {
	q   url.Values
	err error
}

func (f *fields) note(err error) {
	if f.err == nil {
		f.err = err
	}
}

// cutShort is an invite, or another link, that lacks a part or has only some of
// it.
func cutShort(key string) error {
	return fmt.Errorf("%w: the link is not whole, its part %s= is missing or cut short: copy it again, all of it", ErrAddress, key)
}

func (f *fields) bytes(key string, size int) []byte {
	b, err := base64.RawURLEncoding.DecodeString(f.q.Get(key))
	if err != nil || len(b) != size {
		f.note(cutShort(key))
		return make([]byte, size)
	}
	return b
}

func (f *fields) number(key string, base int) uint64 {
	n, err := strconv.ParseUint(f.q.Get(key), base, 63)
	if err != nil {
		f.note(cutShort(key))
	}
	return n
}

func b64(b []byte) string { return base64.RawURLEncoding.EncodeToString(b) }
