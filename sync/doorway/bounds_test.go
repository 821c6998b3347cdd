package doorway

import (
	"context"
	"net"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/net/http2"
	"golang.org/x/net/http2/hpack"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"

	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/exchange"
)

// Of a message that is too large, or too large once it is unpacked, nothing is
// read beyond its length; its connection goes on.
func TestMessagesAreBounded(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t).serve(use, usual)
		api := s.api()
		large := s.ask()
		large.Runs = []*turnrowv1.Run{{Entries: [][]byte{make([]byte, exchange.MaxCall)}}}
		for packed, want := range map[string]codes.Code{
			"identity": codes.ResourceExhausted, "deflate-raw": codes.ResourceExhausted,
			"zstd": codes.Internal, // it is not unpacked at all
		} {
			if _, err := api.Exchange(s.ours(), large, grpc.UseCompressor(packed)); status.Code(err) != want {
				t.Errorf("%s: %v", packed, err)
			}
		}
		s.works(api)
	})
}

// A connection may have so many calls open; one more is turned away before it is
// looked at, and the others go on.
func TestStreamsAreBounded(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t).serve(use, usual)
		f := framedTo(t, s.here)
		await(f, func(set *http2.SettingsFrame) bool {
			n, ok := set.Value(http2.SettingMaxConcurrentStreams)
			return ok && n == streams
		})
		token := hpack.HeaderField{Name: "authorization", Value: "Bearer " + s.token()}
		for n := range uint32(streams + 1) {
			f.call(2*n+1, token)
		}
		await(f, func(r *http2.RSTStreamFrame) bool {
			return r.StreamID == 2*streams+1 && r.ErrCode == http2.ErrCodeRefusedStream
		})
		if err := f.WriteRSTStream(1, http2.ErrCodeCancel); err != nil {
			t.Fatal(err)
		}
		f.call(2*streams + 3) // there is room again: it is judged, and has no token
		await(f, func(h *http2.HeadersFrame) bool { return h.StreamID == 2*streams+3 })
	})
}

// Headers beyond the bound are not looked at. What a client of gRPC would send
// does not leave it.
func TestHeadersAreBounded(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t).serve(use, usual)
		f := framedTo(t, s.here)
		f.call(1, hpack.HeaderField{Name: "x-words", Value: strings.Repeat("\x00", maxHeader)})
		await(f, func(r *http2.RSTStreamFrame) bool { return r.StreamID == 1 })
		api := s.api()
		s.works(api)
		long := metadata.AppendToOutgoingContext(s.ours(), "x-words", strings.Repeat("a", maxHeader))
		if _, err := api.Exchange(long, s.ask()); status.Code(err) != codes.Internal {
			t.Errorf("a client's: %v", err)
		}
		s.works(api)
	})
}

// The time of a call begins with its headers: one whose message does not come is
// ended, and told so. A watch that has said of what goes on beyond it.
func TestCallsEndInTime(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		short := usual
		short.call = 300 * time.Millisecond
		s := prepared(t).serve(use, short)
		w := s.watch()
		var all sync.WaitGroup
		for _, method := range []string{
			servicev1.ExchangeService_Exchange_FullMethodName, servicev1.ExchangeService_Watch_FullMethodName, servicev1.ExchangeService_Join_FullMethodName,
			healthv1.Health_Check_FullMethodName,
		} {
			call := s.unsaid(s.ours(), s.conn(), method)
			all.Go(func() {
				if err := call.RecvMsg(new(turnrowv1.ExchangeResponse)); status.Code(err) != codes.DeadlineExceeded {
					t.Errorf("%s: %v", method, err)
				}
			})
		}
		all.Wait()
		s.note("gate open")
		if m, err := w.Recv(); err != nil || len(m.GetStored().GetMarks()) != 1 {
			t.Errorf("a watch that is older than a call may be: %v, %v", m, err)
		}
	})
}

// A connection ends on which nothing happens: before it has introduced itself, or
// has shown a token, and after its last call.
func TestIdleConnectionsEnd(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		short := usual
		short.handshake = 50 * time.Millisecond
		mute, err := net.Dial("tcp", prepared(t).serve(use, short).here)
		if err == nil {
			err = mute.SetDeadline(time.Now().Add(patience))
		}
		if err != nil {
			t.Fatal(err)
		}
		defer mute.Close()
		closed(t, mute)

		short = usual
		short.introduction = 300 * time.Millisecond
		closed(t, framedTo(t, prepared(t).serve(use, short).here).conn)

		short = usual
		short.idle = 50 * time.Millisecond
		await(framedTo(t, prepared(t).serve(use, short).here), func(g *http2.GoAwayFrame) bool { return g.ErrCode == http2.ErrCodeNo })
	})
}

// Whoever has gone without a word is noticed: the other side is asked whether it
// is there, and its connection ends where no answer comes.
func TestWhoHasGoneIsNoticed(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		short := usual
		short.ping, short.pong = time.Second, 50*time.Millisecond // gRPC asks no sooner
		s := prepared(t).serve(use, short)
		f := framedTo(t, s.here)
		await(f, func(p *http2.PingFrame) bool { return !p.IsAck() })
		closed(t, f.conn)
	})
}

// Whoever pings without end is cut off.
func TestPingsAreBounded(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t).serve(use, usual)
		f := framedTo(t, s.here)
		for range 8 {
			if err := f.WritePing(false, [8]byte{}); err != nil {
				break // it is cut off already
			}
		}
		await(f, func(g *http2.GoAwayFrame) bool { return g.ErrCode == http2.ErrCodeEnhanceYourCalm })
	})
}

// counting is a listener that counts the connections that are open.
type counting struct {
	net.Listener
	mu         sync.Mutex
	open, most int
}

func (l *counting) Accept() (net.Conn, error) {
	c, err := l.Listener.Accept()
	if err != nil {
		return nil, err
	}
	l.count(1)
	return &leaving{c, sync.OnceFunc(func() { l.count(-1) })}, nil
}

func (l *counting) count(n int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.open += n
	l.most = max(l.most, l.open)
}

func (l *counting) mostAtOnce() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.most
}

// Of many connections so many are open at once; the others wait, and have their
// turn.
func TestConnectionsAreBounded(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		use.Connections = 2
		s := prepared(t)
		lis, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		count := &counting{Listener: lis}
		s.lis = count
		s.serve(use, usual)
		var all sync.WaitGroup
		for range 6 {
			all.Go(func() {
				cc := s.conn()
				s.works(servicev1.NewExchangeServiceClient(cc))
				cc.Close()
			})
		}
		all.Wait()
		if most := count.mostAtOnce(); most > use.Connections {
			t.Errorf("%d connections were open at once, %d may be", most, use.Connections)
		}
	})
}

// Where anybody may be on the network, one address has so many connections: one
// more is closed, and another address is served. A server takes all: a carrier
// has a district behind one.
func TestConnectionsOfAnAddressAreBounded(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t).serve(use, usual)
		var mine []net.Conn
		for range exchange.MeetingPerAddress {
			c, err := net.Dial("tcp", s.here)
			if err != nil {
				t.Fatal(err)
			}
			defer c.Close()
			mine = append(mine, c)
		}
		_, err := s.api().Exchange(s.ours(), s.ask())
		if use.PerAddress == 0 {
			if err != nil {
				t.Error(err)
			}
			return
		}
		if status.Code(err) != codes.Unavailable {
			t.Errorf("one more from the address: %v", err)
		}
		if runtime.GOOS == "linux" { // others have one loopback address
			s.works(servicev1.NewExchangeServiceClient(s.conn(grpc.WithContextDialer(func(ctx context.Context, to string) (net.Conn, error) {
				d := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, 2)}}
				return d.DialContext(ctx, "tcp", to)
			}))))
		}
		mine[0].Close()
		for {
			if _, err := s.api().Exchange(s.ours(), s.ask()); err == nil {
				break // there is room again, once it is noticed
			} else if status.Code(err) != codes.Unavailable {
				t.Fatal(err)
			}
		}
	})
}
