// Package transport carries a client's exchanges over gRPC: it dials, checks
// the certificate that it is shown, signs a token for each call, and serves
// the same calls to other devices. Nothing above it knows gRPC.
package transport

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"sync/atomic"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/connectivity"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/keepalive"

	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/sync/exchange"
)

const (
	// dialTimeout is the time for a connection to come about on a bad link.
	dialTimeout = 20 * time.Second
	// pings while a watch is open find out that the link is gone. The server
	// allows three times as many.
	ping, pingTimeout = time.Minute, 20 * time.Second
)

// Options is how to reach another replica.
type Options struct {
	Address string // HOST:PORT
	// Trust looks at the certificate that the other shows, and says no with an
	// error that the calls then give back. Nil trusts what authorities vouch
	// for: those in Roots, or where that is nil the machine's.
	Trust func(leaf *x509.Certificate) error
	Roots *x509.CertPool
	// Token signs a token for the server that audience names.
	Token  func(audience string, now time.Time) (string, error)
	Now    func() time.Time
	Logger *slog.Logger
}

// Conn is a way to another replica. It connects at the first call. It is safe
// for concurrent use.
type Conn struct {
	opts    Options
	cc      *grpc.ClientConn
	service servicev1.ExchangeServiceClient
	creds   *tokens
	traffic traffic
	refused atomic.Pointer[error]            // why Trust last said no
	leaf    atomic.Pointer[x509.Certificate] // what the other showed
	dialled atomic.Pointer[error]            // what kept the last dial from reaching anything
}

// New prepares a connection; an address that is none gives an error.
func New(o Options) (*Conn, error) {
	host, _, err := net.SplitHostPort(o.Address)
	if err != nil {
		return nil, fmt.Errorf("address %q: want HOST:PORT: %w", o.Address, err)
	}
	c := &Conn{opts: o, creds: &tokens{sign: o.Token, now: o.Now}}
	// The address goes to the dialler as it is: no proxy, no resolver of gRPC's.
	c.cc, err = grpc.NewClient("passthrough:///"+o.Address,
		grpc.WithTransportCredentials(credentials.NewTLS(c.tls(host))),
		grpc.WithPerRPCCredentials(c.creds),
		grpc.WithContextDialer(c.dial), grpc.WithNoProxy(), grpc.WithDisableServiceConfig(),
		grpc.WithKeepaliveParams(keepalive.ClientParameters{Time: ping, Timeout: pingTimeout}),
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(exchange.MaxCall), grpc.MaxCallSendMsgSize(exchange.MaxCall)),
	)
	if err != nil {
		return nil, err
	}
	c.service = servicev1.NewExchangeServiceClient(c.cc)
	return c, nil
}

// Close ends the connection and the calls on it.
func (c *Conn) Close() error { return c.cc.Close() }

// Traffic is the bytes that have gone out and come in, all told.
func (c *Conn) Traffic() (out, in int64) { return c.traffic.out.Load(), c.traffic.in.Load() }

// tls is how to connect to a host. The certificates of replicas are mostly
// their own, and no authority's, so verify looks at them in the library's
// place.
func (c *Conn) tls(host string) *tls.Config {
	return &tls.Config{
		ServerName: host, MinVersion: tls.VersionTLS13,
		InsecureSkipVerify: true, //nolint:gosec // verify checks the certificate
		VerifyConnection:   c.verify,
	}
}

func (c *Conn) verify(s tls.ConnectionState) error {
	var err error
	if c.opts.Trust != nil {
		err = c.opts.Trust(s.PeerCertificates[0])
	} else {
		err = vouched(s, c.opts.Roots)
	}
	if err != nil {
		c.refused.Store(&err)
		return err
	}
	c.refused.Store(nil)
	c.leaf.Store(s.PeerCertificates[0])
	return nil
}

// vouched checks that an authority vouches for the certificate, by name, as
// the library would.
func vouched(s tls.ConnectionState, roots *x509.CertPool) error {
	between := x509.NewCertPool()
	for _, c := range s.PeerCertificates[1:] {
		between.AddCert(c)
	}
	_, err := s.PeerCertificates[0].Verify(x509.VerifyOptions{DNSName: s.ServerName, Roots: roots, Intermediates: between})
	if err != nil {
		return fmt.Errorf("%w: %w", ErrUnvouched, err)
	}
	return nil
}

// Leaf connects, and gives the certificate that the other shows.
func (c *Conn) Leaf(ctx context.Context) (*x509.Certificate, error) {
	ctx, cancel := context.WithTimeout(ctx, dialTimeout)
	defer cancel()
	c.cc.Connect()
	for state := c.cc.GetState(); state != connectivity.Ready; state = c.cc.GetState() {
		if state == connectivity.TransientFailure || !c.cc.WaitForStateChange(ctx, state) {
			return nil, c.unreached()
		}
	}
	return c.leaf.Load(), nil
}

// unreached is why there is no connection.
func (c *Conn) unreached() error {
	if no := c.refused.Load(); no != nil {
		return *no
	}
	if why := c.dialled.Load(); why != nil {
		return fmt.Errorf("%s: %w: %w", c.opts.Address, ErrAway, *why)
	}
	return fmt.Errorf("%s: %w", c.opts.Address, ErrAway)
}

func (c *Conn) dial(ctx context.Context, address string) (net.Conn, error) {
	ctx, cancel := context.WithTimeout(ctx, dialTimeout)
	defer cancel()
	var d net.Dialer
	conn, err := d.DialContext(ctx, "tcp", address)
	if err != nil {
		why := err
		if op := new(net.OpError); errors.As(err, &op) {
			why = op.Err // without the address, which is said already
		}
		c.dialled.Store(&why)
		return nil, err
	}
	c.dialled.Store(nil)
	return &counted{conn, &c.traffic}, nil
}

// traffic counts bytes on the wire, TLS and all.
type traffic struct{ out, in atomic.Int64 }

type counted struct {
	net.Conn
	traffic *traffic
}

func (c *counted) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	c.traffic.in.Add(int64(n))
	return n, err
}

func (c *counted) Write(b []byte) (int, error) {
	n, err := c.Conn.Write(b)
	c.traffic.out.Add(int64(n))
	return n, err
}

// tokens gives each call its token. It is made for the server whose
// certificate the connection was shown, by the server's clock once that is
// known to differ.
type tokens struct {
	sign   func(audience string, now time.Time) (string, error)
	now    func() time.Time
	offset atomic.Int64 // nanoseconds that the server's clock is ahead
}

// GetRequestMetadata implements credentials.PerRPCCredentials.
func (t *tokens) GetRequestMetadata(ctx context.Context, _ ...string) (map[string]string, error) {
	info, ok := credentials.RequestInfoFromContext(ctx)
	state, isTLS := info.AuthInfo.(credentials.TLSInfo)
	if !ok || !isTLS || len(state.State.PeerCertificates) == 0 {
		return nil, errors.New("transport: no certificate to make a token for")
	}
	text, err := t.sign(audience(state.State.PeerCertificates[0]), t.now().Add(time.Duration(t.offset.Load())))
	if err != nil || text == "" {
		return nil, err
	}
	return map[string]string{"authorization": "Bearer " + text}, nil
}

// RequireTransportSecurity implements credentials.PerRPCCredentials.
func (*tokens) RequireTransportSecurity() bool { return true }

// setClock takes the server's wall clock, ms since 1970.
func (t *tokens) setClock(wall int64) { t.offset.Store(int64(time.UnixMilli(wall).Sub(t.now()))) }
