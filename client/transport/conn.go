// Package transport carries a client's exchanges over gRPC: it dials, checks
// the certificate that it is shown, and signs a token for each call. Nothing
// above it knows gRPC.
package transport

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"sync/atomic"
	"time"

	"google.golang.org/grpc"
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
		grpc.WithStatsHandler(&c.traffic), grpc.WithContextDialer(c.dial), grpc.WithNoProxy(), grpc.WithDisableServiceConfig(),
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

// Traffic is the bytes that have gone out and come in, all told, and how many
// of them were the messages themselves, compressed, in both directions.
func (c *Conn) Traffic() (out, in, messages int64) {
	return c.traffic.out.Load(), c.traffic.in.Load(), c.traffic.messages.Load()
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
