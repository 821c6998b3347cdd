package doorway

import (
	"context"
	"crypto/tls"
	"errors"
	"net"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/credentials"
)

const (
	// allowance is the bytes that may come on a connection before a token was
	// shown on it: a greeting and a log that asks to join, several times over; and
	// less than a few calls that are turned away bring by mistake.
	allowance = 4*window + 64<<10
	// refusal is what a call that is turned away by its headers costs of it.
	refusal = 1 << 10
)

// errUnknown ends a connection on which too much came before a token.
var errUnknown = errors.New("doorway: no token was shown on the connection")

// conn is a connection with what it may cost until somebody shows on it who it
// is. A nil one costs nothing.
type conn struct {
	net.Conn
	left  atomic.Int64
	shown atomic.Bool
	time  time.Duration // within which a token is shown on it, or a log is taken in
	late  *time.Timer
	waits func() bool // ends with the first call: until then, stopping ends the connection
}

// newConn is a connection that has said nothing yet. gRPC waits for it when it
// stops, so that is not left to whoever is silent.
func newConn(c net.Conn, stopping context.Context, introduction time.Duration) *conn {
	ends := func() { _ = c.Close() } // who reads it is told
	k := &conn{Conn: c, time: introduction}
	k.left.Store(allowance)
	k.late = time.AfterFunc(introduction, ends)
	k.waits = context.AfterFunc(stopping, ends)
	return k
}

// Read implements net.Conn.
func (c *conn) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	if !c.shown.Load() && c.left.Add(-int64(n)) < 0 {
		return 0, errUnknown
	}
	return n, err
}

// Close implements net.Conn.
func (c *conn) Close() error {
	c.late.Stop()
	c.waits()
	return c.Conn.Close()
}

// asked notes that a call has come.
func (c *conn) asked() {
	if c != nil {
		c.waits()
	}
}

// known notes that a token was shown that counts.
func (c *conn) known() {
	if c == nil {
		return
	}
	c.left.Store(allowance)
	if !c.shown.Swap(true) {
		c.late.Stop()
	}
}

// refused notes a call that was turned away. gRPC remembers each until the
// connection ends, so it must end some day.
func (c *conn) refused() {
	if c != nil && c.left.Add(-refusal) < 0 {
		_ = c.Conn.Close() // who reads it is told
	}
}

// joined notes a log that was taken in: another may come.
func (c *conn) joined() {
	if c == nil || c.shown.Load() {
		return
	}
	c.left.Store(allowance)
	c.late.Reset(c.time)
}

// creds are TLS credentials that count what comes.
type creds struct {
	credentials.TransportCredentials
	service *service
}

func (s *service) creds(tc *tls.Config) credentials.TransportCredentials {
	return creds{credentials.NewTLS(tc), s}
}

// authInfo is what is known of a connection: its TLS, and what it may cost.
type authInfo struct {
	credentials.TLSInfo
	conn *conn
}

// ServerHandshake implements credentials.TransportCredentials.
func (c creds) ServerHandshake(raw net.Conn) (net.Conn, credentials.AuthInfo, error) {
	counted := newConn(raw, c.service.stopping, c.service.times.introduction)
	safe, info, err := c.TransportCredentials.ServerHandshake(counted)
	if err != nil {
		counted.late.Stop()
		counted.waits()
		return nil, nil, err
	}
	t, _ := info.(credentials.TLSInfo)
	return safe, authInfo{t, counted}, nil
}

// Clone implements credentials.TransportCredentials.
func (c creds) Clone() credentials.TransportCredentials {
	return creds{c.TransportCredentials.Clone(), c.service}
}

// ClientHandshake implements credentials.TransportCredentials.
func (creds) ClientHandshake(context.Context, string, net.Conn) (net.Conn, credentials.AuthInfo, error) {
	return nil, nil, errors.New("doorway: these credentials are a server's")
}
