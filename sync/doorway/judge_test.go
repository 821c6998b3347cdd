package doorway

import (
	"context"
	"log/slog"
	"net"
	"testing"
	"testing/synctest"
	"time"

	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/peer"
	"google.golang.org/grpc/tap"

	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// none keeps no farm.
type none struct{}

func (none) Farm(entry.FarmID) (*replica.Replica, func(), error) {
	return nil, nil, exchange.ErrFarm
}
func (none) Found(entry.FarmID, entry.Run, string) error { return exchange.ErrFarm }

// The time of a call begins with its headers: one whose message does not come
// ends with it. One that stays open, to be told of news, goes on once it has
// said of what.
func TestTimeBeginsWithTheHeaders(t *testing.T) {
	for _, c := range []struct {
		method string
		said   bool
		ends   bool
	}{
		{servicev1.ExchangeService_Exchange_FullMethodName, false, true},
		{servicev1.ExchangeService_Exchange_FullMethodName, true, true},
		{servicev1.ExchangeService_Join_FullMethodName, false, true},
		{servicev1.ExchangeService_Watch_FullMethodName, false, true},
		{servicev1.ExchangeService_Watch_FullMethodName, true, false},
	} {
		synctest.Test(t, func(t *testing.T) {
			whole, cancel := context.WithCancel(t.Context())
			defer cancel()
			ctx := (&service{times: usual}).timed(whole, call{}, c.method)
			if c.said {
				callOf(ctx).begun()
			}
			time.Sleep(exchange.CallSeconds*time.Second - time.Millisecond)
			synctest.Wait()
			if ctx.Err() != nil {
				t.Errorf("%s ends early", c.method)
			}
			time.Sleep(time.Second)
			synctest.Wait()
			if (ctx.Err() != nil) != c.ends {
				t.Errorf("%s, said %v: %v", c.method, c.said, ctx.Err())
			}
			cancel()
			synctest.Wait()
		})
	}
}

// A connection on which no token is shown ends after a while, and one on which
// call after call is turned away; one on which a token was shown goes on.
func TestConnectionsOfStrangersEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		mine, theirs := net.Pipe()
		defer theirs.Close()
		newConn(mine, t.Context(), usual.introduction)
		time.Sleep(usual.introduction + time.Second)
		synctest.Wait()
		if _, err := theirs.Write([]byte{1}); err == nil {
			t.Error("it is open still")
		}
	})
	synctest.Test(t, func(t *testing.T) {
		mine, theirs := net.Pipe()
		defer theirs.Close()
		c := newConn(mine, t.Context(), usual.introduction)
		c.known()
		time.Sleep(usual.introduction + time.Second)
		synctest.Wait()
		go theirs.Write(make([]byte, 2*allowance))
		for read := 0; read < 2*allowance; {
			n, err := c.Read(make([]byte, allowance))
			if err != nil {
				t.Fatal(err)
			}
			read += n
		}
		quiet := slog.New(slog.DiscardHandler)
		s := &service{
			handler: replica.NewHandler(none{}, exchange.Generation{}, func() []string { return nil }, time.Now, quiet),
			log:     quiet, times: usual,
		}
		ctx := peer.NewContext(t.Context(), &peer.Peer{AuthInfo: authInfo{credentials.TLSInfo{}, c}})
		info := &tap.Info{FullMethodName: servicev1.ExchangeService_Exchange_FullMethodName, Header: metadata.MD{}}
		for range allowance/refusal + 1 {
			if _, err := s.judge(ctx, info); err == nil {
				t.Fatal("a call without a token is let in")
			}
		}
		if _, err := c.Read(make([]byte, 1)); err == nil {
			t.Error("who is turned away again and again goes on")
		}
	})
}
