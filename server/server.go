// Package server is a turnrow server: one more replica of many farms, always
// at one address, that devices exchange with when they have a signal. It can
// hold entries back, but it can't forge, change or reorder one.
//
// Its data folder holds the store, the key with the certificate and the keys of
// the devices by which it is the porter of farms (mode 0600), and the address
// under which it last ran. [New] makes what is not there yet;
// [Server.Run] serves until its context ends.
package server

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strings"
	"time"

	"turnrow/server/auth"
	"turnrow/sync/cert"
	"turnrow/sync/doorway"
	"turnrow/sync/logstore"
	"turnrow/sync/replica"
)

// DefaultListen is where a server listens that is not told where.
const DefaultListen = ":7867"

// The files of a data folder.
const (
	storeDir     = "store"
	identityFile = "server.pem"
	addressFile  = "address"
	acmeDir      = "acme"
	portersDir   = "porters"
)

// Config is how a server runs.
type Config struct {
	Data   string           // folder, made on first use
	Listen string           // HOST:PORT; port 0 is any free one; empty is DefaultListen
	Public string           // HOST or HOST:PORT by which devices find it; empty is worked out from Listen
	Logger *slog.Logger     // nil is silent
	Now    func() time.Time // nil is time.Now
	// NoPorter has the server refuse to be the porter of farms: a porter lets in
	// who has an invite, in time, while no owner's device is in reach.
	NoPorter bool
	FS       logstore.FS // that the store lies on; nil is the machine's, and the key is always there

	// Cert and Key are PEM files of a certificate that an authority vouches for,
	// and of its key. Empty is the server's own certificate, known by its pin.
	Cert, Key string
	// ACME is the host for which an authority is asked for a certificate, and
	// ACMEDirectory the authority's address; empty is Let's Encrypt's. Its terms
	// must be accepted: auth.ErrTerms.
	ACME, ACMEDirectory string
	ACMEAccepted        bool
	Roots               *x509.CertPool // that vouch for the authority's address; nil is the machine's
}

// Server is a server that listens. One that was made must be run or closed.
type Server struct {
	log    *slog.Logger
	now    func() time.Time
	id     auth.Identity
	store  *logstore.Store
	farms  *farms
	lis    net.Listener
	public string
	calls  *doorway.Server

	porters bool // it offers to be the porter of farms

	vouched *auth.Vouched // nil where devices know the server by its pin
}

// New opens a data folder, which it makes on first use, and listens. Errors
// that a caller can act on are logstore.ErrLocked, logstore.ErrNewer,
// keyfile.ErrExposed and auth.ErrIdentity.
func New(c Config) (*Server, error) {
	s := &Server{log: c.Logger, now: c.Now}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	if s.now == nil {
		s.now = time.Now
	}
	if err := os.MkdirAll(c.Data, 0o700); err != nil {
		return nil, err
	}
	if err := s.open(c); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

func (s *Server) open(c Config) (err error) {
	if s.store, err = logstore.Open(filepath.Join(c.Data, storeDir), logstore.Options{Logger: s.log, FS: c.FS}); err != nil {
		return err
	}
	if s.id, err = auth.LoadOrMake(filepath.Join(c.Data, identityFile), s.now()); err != nil {
		return err
	}
	if s.farms, err = keep(s.store, s.id, s.now); err != nil {
		return err
	}
	listen := c.Listen
	if listen == "" {
		listen = DefaultListen
	}
	if s.lis, err = net.Listen("tcp", listen); err != nil {
		return err
	}
	s.public = public(c.Public, s.lis.Addr())
	if !c.NoPorter {
		s.farms.opens = s.porter(porters(filepath.Join(c.Data, portersDir)))
	}
	s.porters = !c.NoPorter
	tc, audiences, err := s.shows(c)
	if err != nil {
		return err
	}
	handler := replica.NewHandler(s.farms, s.store.Generation(), audiences, s.now, s.log)
	s.calls = doorway.New(doorway.AtServer, handler, tc, s.log)
	return os.WriteFile(filepath.Join(c.Data, addressFile), []byte(s.place().file()), 0o600)
}

// porter makes the server offer each farm that is loaded to be its porter.
func (s *Server) porter(keys porters) func(*replica.Replica) {
	return func(r *replica.Replica) { r.BePorter(keys, "server at "+s.public, s.log) }
}

// shows is the certificate that the server shows, and what tokens may name it
// by.
func (s *Server) shows(c Config) (tc *tls.Config, audiences func() []string, err error) {
	switch {
	case c.ACME != "" && c.Cert+c.Key != "":
		return nil, nil, errors.New("a certificate is either in files or asked for by ACME, not both")
	case c.ACME != "":
		s.vouched, err = auth.FromACME(auth.ACME{
			Host: c.ACME, Folder: filepath.Join(c.Data, acmeDir), Directory: c.ACMEDirectory, Accepted: c.ACMEAccepted, Roots: c.Roots,
		})
		if err == nil && c.Public == "" {
			s.public = public(c.ACME, s.lis.Addr())
		}
	case c.Cert+c.Key != "":
		s.vouched, err = auth.FromFiles(c.Cert, c.Key)
	default:
		return cert.TLS(s.id.Cert), func() []string { return []string{s.id.Pin().Audience()} }, nil
	}
	if err != nil {
		return nil, nil, err
	}
	return s.vouched.TLS(), s.vouched.Audiences, nil
}

// Run serves until ctx ends, then stops cleanly: watches end, running calls
// come to their end, the store is closed. It gives nil where that went well.
func (s *Server) Run(ctx context.Context) error {
	s.log.Info("serving", "address", s.public, "listen", s.lis.Addr().String(), "pin", s.Pin(), "porter", s.porters)
	err := s.calls.Serve(ctx, s.lis)
	err = errors.Join(err, s.Close())
	s.log.Info("stopped", "err", err)
	return err
}

// Close gives up what New opened, where Run does not.
func (s *Server) Close() error {
	var errs []error
	if s.lis != nil {
		if err := s.lis.Close(); !errors.Is(err, net.ErrClosed) {
			errs = append(errs, err)
		}
	}
	if s.store != nil {
		errs = append(errs, s.store.Close())
		s.store = nil
	}
	return errors.Join(errs...)
}

// Addr is where devices find the server: HOST:PORT.
func (s *Server) Addr() string { return s.public }

// Pin is the SHA-256 of the server's certificate, as addresses write it; empty
// where an authority vouches for the certificate.
func (s *Server) Pin() string {
	if s.vouched != nil {
		return ""
	}
	return s.id.Pin().String()
}

// public is the address that devices dial: what was asked for, or else where
// the server listens, or else this machine's first address on a network.
func public(asked string, lis net.Addr) string {
	if asked == "" {
		return replica.Reachable(lis)
	}
	if _, _, err := net.SplitHostPort(asked); err == nil {
		return asked
	}
	_, port, _ := net.SplitHostPort(lis.String())
	return net.JoinHostPort(strings.Trim(asked, "[]"), port)
}
