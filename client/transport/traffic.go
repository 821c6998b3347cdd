package transport

import (
	"net"
	"sync/atomic"
)

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
