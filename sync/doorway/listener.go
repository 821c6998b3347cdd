package doorway

import (
	"net"
	"net/netip"
	"sync"

	"golang.org/x/net/netutil"
)

// bounded is a listener that takes as many connections as the use allows. One
// that is over all of them waits; one that is over those of its address is
// closed, so that one address cannot keep out the others.
func (u Use) bounded(lis net.Listener) net.Listener {
	lis = netutil.LimitListener(lis, u.Connections)
	if u.PerAddress == 0 {
		return lis
	}
	return &addressed{Listener: lis, most: u.PerAddress, open: map[netip.Addr]int{}}
}

// addressed is a listener that takes so many connections from each address.
type addressed struct {
	net.Listener
	most int

	mu   sync.Mutex
	open map[netip.Addr]int
}

// Accept implements net.Listener.
func (l *addressed) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from := addressOf(c)
		if l.enters(from) {
			return &leaving{Conn: c, leave: sync.OnceFunc(func() { l.leaves(from) })}, nil
		}
		_ = c.Close() // who is over the bound sees it closed
	}
}

// addressOf is where a connection comes from; the zero address where that is
// no IP address.
func addressOf(c net.Conn) netip.Addr {
	at, err := netip.ParseAddrPort(c.RemoteAddr().String())
	if err != nil {
		return netip.Addr{}
	}
	return at.Addr().Unmap()
}

func (l *addressed) enters(from netip.Addr) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.open[from] >= l.most {
		return false
	}
	l.open[from]++
	return true
}

func (l *addressed) leaves(from netip.Addr) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.open[from]--; l.open[from] == 0 {
		delete(l.open, from)
	}
}

// leaving is a connection that makes room for another when it is closed.
type leaving struct {
	net.Conn
	leave func()
}

// Close implements net.Conn.
func (c *leaving) Close() error {
	defer c.leave()
	return c.Conn.Close()
}
