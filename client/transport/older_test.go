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
	"google.golang.org/grpc/credentials"

	"turnrow/client/transport"
	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// older answers as gRPC does for a program that cannot read how a message is
// packed: it does not implement the call.
func older(t *testing.T) (addr string) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c, err := cert.Make(key, "older", time.Now())
	if err != nil {
		t.Fatal(err)
	}
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	g := grpc.NewServer(grpc.Creds(credentials.NewTLS(cert.TLS(c))))
	servicev1.RegisterExchangeServiceServer(g, servicev1.UnimplementedExchangeServiceServer{})
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

// An older version that cannot read a brief request is asked again in full; what
// does not implement the call in full either is no replica.
func TestOlderVersionCannotReadBriefRequests(t *testing.T) {
	c, err := transport.New(transport.Options{
		Address: older(t), Now: time.Now, Logger: slog.New(slog.DiscardHandler),
		Trust: func(*x509.Certificate) error { return nil },
		Token: func(string, time.Time) (string, error) { return "none", nil },
	})
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	for brief, want := range map[bool]bool{true: true, false: false} {
		_, err := c.Exchange(ctx, exchange.Request{Farm: entry.FarmID{1}, Brief: brief})
		if !errors.Is(err, transport.ErrOther) || errors.Is(err, exchange.ErrMalformed) != want {
			t.Errorf("brief %t: %v", brief, err)
		}
	}
}
