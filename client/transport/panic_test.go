package transport_test

import (
	"context"
	"crypto/ed25519"
	"crypto/x509"
	"errors"
	"log/slog"
	"net"
	"testing"
	"time"

	"turnrow/client/transport"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
	"turnrow/sync/token"
)

// broken panics whatever it is asked, as a mistake in the fold would.
type broken struct{}

func (broken) Farm(entry.FarmID) (*replica.Replica, func(), error) { panic("broken") }
func (broken) Found(entry.FarmID, entry.Run, string) error         { panic("broken") }

// A panic in a call ends the call, and not the device that meets others: where
// its headers are judged, and where it is answered.
func TestPanicEndsNoMeeting(t *testing.T) {
	key := ed25519.NewKeyFromSeed(make([]byte, ed25519.SeedSize))
	c, err := cert.Make(key, entry.DeviceID{1}.String(), time.Now())
	if err != nil {
		t.Fatal(err)
	}
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	quiet := slog.New(slog.DiscardHandler)
	mine := cert.PinOf(c.Certificate[0]).Audience()
	door := replica.NewDoor(broken{}, exchange.Generation{1}, func() []string { return []string{mine} }, time.Now, quiet)
	ended := make(chan error, 1)
	go func() { ended <- transport.Serve(ctx, lis, cert.TLS(c), door, quiet) }()
	defer func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}()
	conn, err := transport.New(transport.Options{
		Address: lis.Addr().String(), Now: time.Now, Logger: quiet,
		Trust: func(*x509.Certificate) error { return nil },
		Token: func(audience string, now time.Time) (string, error) {
			return token.Sign(key, token.Caller{Farm: entry.FarmID{1}, Device: entry.DeviceID{1}}, audience, now)
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	for range 2 {
		if _, err := conn.Exchange(ctx, exchange.Request{Farm: entry.FarmID{1}}); !errors.Is(err, exchange.ErrInternal) {
			t.Errorf("an exchange: %v", err)
		}
		if err := conn.Watch(ctx, entry.FarmID{1}, nil, func(exchange.Admission) {}); !errors.Is(err, exchange.ErrInternal) {
			t.Errorf("a watch: %v", err)
		}
		if _, err := conn.Join(ctx, entry.FarmID{1}, entry.Run{Device: entry.DeviceID{1}, First: 1}, ""); !errors.Is(err, exchange.ErrInternal) {
			t.Errorf("asking to join: %v", err)
		}
	}
}
