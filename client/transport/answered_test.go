package transport_test

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"errors"
	"log/slog"
	"net"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/status"

	"turnrow/client/transport"
	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// troubled answers each exchange with an error of its own.
type troubled struct {
	servicev1.UnimplementedExchangeServiceServer
	code codes.Code
}

func (s troubled) Exchange(context.Context, *turnrowv1.ExchangeRequest) (*turnrowv1.ExchangeResponse, error) {
	return nil, status.Error(s.code, "disk on fire")
}

// A replica that answers, with whatever error, is not away; one that says by
// its status that it cannot be had is.
func TestWhoAnswersIsNotAway(t *testing.T) {
	for code, away := range map[codes.Code]bool{codes.Internal: false, codes.Unknown: false, codes.PermissionDenied: false, codes.Unavailable: true} {
		c, ctx := dial(t, serveWith(t, troubled{code: code}))
		_, err := c.Exchange(ctx, exchange.Request{Farm: entry.FarmID{1}})
		if errors.Is(err, transport.ErrAway) != away || errors.Is(err, transport.ErrServer) == away {
			t.Errorf("%v: %v", code, err)
		}
	}
}

// dial makes a client that trusts whoever answers at an address, and the time
// that its calls have.
func dial(t *testing.T, addr string) (*transport.Conn, context.Context) {
	t.Helper()
	c, err := transport.New(transport.Options{
		Address: addr, Now: time.Now, Logger: slog.New(slog.DiscardHandler),
		Trust: func(*x509.Certificate) error { return nil },
		Token: func(string, time.Time) (string, error) { return "none", nil },
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	t.Cleanup(cancel)
	return c, ctx
}

// serveWith serves an exchange, and returns where.
func serveWith(t *testing.T, s servicev1.ExchangeServiceServer) (addr string) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c, err := cert.Make(key, "replica", time.Now())
	if err != nil {
		t.Fatal(err)
	}
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	g := grpc.NewServer(grpc.Creds(credentials.NewTLS(cert.TLS(c))))
	servicev1.RegisterExchangeServiceServer(g, s)
	ended := make(chan error, 1)
	go func() { ended <- g.Serve(lis) }()
	t.Cleanup(func() {
		g.Stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return lis.Addr().String()
}
