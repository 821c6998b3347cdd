package bench

import (
	"context"
	"errors"
	"net"
	"sync"
	"sync/atomic"
	"time"
)

// link is how a proxy passes bytes on.
type link struct {
	rate  int                         // bytes a second, each way
	delay time.Duration               // of each byte, each way
	cut   func() (after int, ok bool) // asked for each connection: whether it is cut, and after how many bytes
}

// proxy is a slow link to one address: whoever dials it is passed on there.
type proxy struct {
	link
	to      string
	lis     net.Listener
	out, in atomic.Int64 // bytes that have gone through
	cuts    atomic.Int64
	conns   sync.WaitGroup
}

// newProxy listens until the context ends.
func newProxy(ctx context.Context, to string, l link) (*proxy, error) {
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	p := &proxy{link: l, to: to, lis: lis}
	context.AfterFunc(ctx, func() { lis.Close() })
	go p.accept(ctx)
	return p, nil
}

func (p *proxy) addr() string { return p.lis.Addr().String() }

func (p *proxy) accept(ctx context.Context) {
	for {
		near, err := p.lis.Accept()
		if err != nil {
			return
		}
		far, err := net.Dial("tcp", p.to)
		if err != nil {
			near.Close()
			continue
		}
		c := &passing{proxy: p, end: func() { near.Close(); far.Close() }}
		if after, ok := p.cut(); ok {
			c.left.Store(int64(after))
		} else {
			c.left.Store(1 << 62)
		}
		stop := context.AfterFunc(ctx, c.end)
		p.conns.Go(func() { defer stop(); c.pass(near, far, &p.out) })
		p.conns.Go(func() { c.pass(far, near, &p.in) })
	}
}

// passing is one connection.
type passing struct {
	*proxy
	left atomic.Int64 // bytes until it is cut
	end  func()
}

// piece is bytes on their way.
type piece struct {
	bytes []byte
	due   time.Time
}

// pass passes one direction on. Bytes leave at the link's rate, one piece after
// the other, and arrive after its delay.
func (c *passing) pass(from, to net.Conn, count *atomic.Int64) {
	way := make(chan piece, 1<<12)
	var arrive sync.WaitGroup
	arrive.Go(func() {
		for p := range way {
			time.Sleep(time.Until(p.due))
			if _, err := to.Write(p.bytes); err != nil {
				c.end()
			}
		}
	})
	free := time.Now() // when the link can take the next piece
	for {
		buf := make([]byte, 512)
		n, err := from.Read(buf)
		if n > 0 {
			count.Add(int64(n))
			free = later(free, time.Now()).Add(time.Duration(n) * time.Second / time.Duration(c.rate))
			way <- piece{buf[:n], free.Add(c.delay)}
			if c.left.Add(-int64(n)) <= 0 {
				c.cuts.Add(1)
				err = errors.New("cut")
				c.end()
			}
		}
		if err != nil {
			break
		}
	}
	close(way)
	arrive.Wait()
	c.end()
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
