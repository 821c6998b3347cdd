package transport

import (
	"context"
	"net"
	"sync/atomic"

	"google.golang.org/grpc/stats"
)

// traffic counts the bytes on the wire, TLS and all, and those of the messages
// alone, compressed, both ways. It implements stats.Handler.
type traffic struct{ out, in, messages atomic.Int64 }

// HandleRPC implements stats.Handler.
func (t *traffic) HandleRPC(_ context.Context, s stats.RPCStats) {
	switch s := s.(type) {
	case *stats.OutPayload:
		t.messages.Add(int64(s.WireLength))
	case *stats.InPayload:
		t.messages.Add(int64(s.WireLength))
	}
}

// TagRPC implements stats.Handler.
func (*traffic) TagRPC(ctx context.Context, _ *stats.RPCTagInfo) context.Context { return ctx }

// TagConn implements stats.Handler.
func (*traffic) TagConn(ctx context.Context, _ *stats.ConnTagInfo) context.Context { return ctx }

// HandleConn implements stats.Handler.
func (*traffic) HandleConn(context.Context, stats.ConnStats) {}

// counted is a connection whose bytes are counted.
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
