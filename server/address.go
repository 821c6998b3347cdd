package server

import (
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"turnrow/server/auth"
)

// place is where a server is, and how devices know it.
type place struct {
	host    string // HOST:PORT
	vouched bool   // by an authority, and not by a pin
}

// vouchedLine is the second line of the address file where an authority vouches
// for the server.
const vouchedLine = "vouched"

// file is the address file of a place.
func (p place) file() string {
	if p.vouched {
		return p.host + "\n" + vouchedLine + "\n"
	}
	return p.host + "\n"
}

func readPlace(data string) (place, error) {
	b, err := os.ReadFile(filepath.Join(data, addressFile))
	if err != nil {
		return place{}, err
	}
	host, rest, _ := strings.Cut(string(b), "\n")
	return place{host, strings.TrimSpace(rest) == vouchedLine}, nil
}

func (s *Server) place() place { return place{s.public, s.vouched != nil} }

// FoundingAddress is a new one-time address with which a device can found a
// farm on this server.
func (s *Server) FoundingAddress() (string, error) { return founding(s.id, s.place(), s.now()) }

// InviteFarm is a new one-time founding address for a data folder, whether its
// server runs just now or not.
func InviteFarm(data string) (string, error) {
	id, err := auth.Load(filepath.Join(data, identityFile))
	if err != nil {
		return "", notRun(data, err)
	}
	at, err := readPlace(data)
	if err != nil {
		return "", notRun(data, err)
	}
	return founding(id, at, time.Now())
}

func notRun(data string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("no server has run on %s yet: %w", data, err)
	}
	return err
}

func founding(id auth.Identity, at place, now time.Time) (string, error) {
	code, err := id.FoundingCode(now)
	if err != nil {
		return "", err
	}
	q := url.Values{"code": {code}}
	if !at.vouched {
		q.Set("pin", id.Pin().String())
	}
	u := url.URL{Scheme: "turnrow", Host: at.host, Path: "/", RawQuery: q.Encode()}
	return u.String(), nil
}
