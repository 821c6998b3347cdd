package client_test

import (
	"context"
	"crypto/ed25519"
	"crypto/x509"
	"errors"
	"log/slog"
	"net"
	"path/filepath"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"

	"turnrow/client"
	"turnrow/client/syncer"
	"turnrow/client/transport"
	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/cert"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore/keyfile"
	"turnrow/sync/token"
	"turnrow/sync/wire"
)

// liar is a phone of a changed program, that meets others under a key.
type liar struct {
	servicev1.UnimplementedExchangeServiceServer
	answer func(exchange.Request) exchange.Response
}

// Exchange implements the service.
func (l *liar) Exchange(_ context.Context, m *turnrowv1.ExchangeRequest) (*turnrowv1.ExchangeResponse, error) {
	req, err := wire.Request(m)
	if err != nil {
		return nil, err
	}
	return wire.ResponseOut(l.answer(req)), nil
}

// meetLiar serves a liar that shows a certificate of a device, and gives its
// address.
func meetLiar(t *testing.T, device entry.DeviceID, key ed25519.PrivateKey, l *liar) string {
	t.Helper()
	crt, err := cert.Make(key, device.String(), time.Now())
	if err != nil {
		t.Fatal(err)
	}
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	g := grpc.NewServer(grpc.Creds(credentials.NewTLS(cert.TLS(crt))))
	servicev1.RegisterExchangeServiceServer(g, l)
	go func() { _ = g.Serve(lis) }()
	t.Cleanup(g.Stop)
	return lis.Addr().String()
}

// member joins a person whose key the test has.
func member(t *testing.T, owner *device, person string, role entry.Role) (c *device, key ed25519.PrivateKey) {
	t.Helper()
	home := t.TempDir()
	c = open(t, home)
	if _, err := c.Join(within(t), invited(t, owner, person, role), person+"'s phone"); err != nil {
		t.Fatal(err)
	}
	syncWith(t, c, meeting(t, owner))
	device, key, err := keyfile.Device(filepath.Join(home, "device.pem"))
	if err != nil || device != c.Device() {
		t.Fatal(device, err)
	}
	return c, key
}

// A phone of the farm that is met, and says that it holds one entry more of the
// owner's log, does not end the owner: she writes on, and so after a restart.
func TestOneNumberMakesNobodyACopy(t *testing.T) {
	home := t.TempDir()
	ada := open(t, home)
	if _, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	mal, key := member(t, ada, "Mal", entry.Viewer)
	syncWith(t, ada, meeting(t, mal))
	note(t, ada, "mine")
	pending := ada.Pending()
	at := meetLiar(t, mal.Device(), key, &liar{answer: func(req exchange.Request) exchange.Response {
		m := req.Have.Mark(ada.Device().Log())
		m.Seq++
		return exchange.Response{Generation: exchange.Generation{7}, Stored: req.Have.With(m), Have: req.Have}
	}})
	if _, err := ada.SyncWith(within(t), at); errors.Is(err, syncer.ErrCopied) {
		t.Errorf("its word made her a copy: %v", err)
	}
	if got := ada.Pending(); got < pending {
		t.Errorf("%d pending before, %d after a claim that nothing shows", pending, got)
	}
	note(t, ada, "still here")
	if err := ada.Close(); err != nil {
		t.Fatal(err)
	}
	note(t, open(t, home), "and after a restart")
}

// One that starts anew at each answer does not hold a device for ever.
func TestAnExchangeComesToAnEnd(t *testing.T) {
	ada := found(t, "")
	mal, key := member(t, ada, "Mal", entry.Viewer)
	n := 0
	at := meetLiar(t, mal.Device(), key, &liar{answer: func(req exchange.Request) exchange.Response {
		n++
		return exchange.Response{Generation: exchange.Generation{byte(n), byte(n >> 8), 1}, Have: req.Have, More: true}
	}})
	if _, err := ada.SyncWith(within(t), at); !errors.Is(err, syncer.ErrEndless) || n > 10 {
		t.Errorf("after %d answers: %v", n, err)
	}
}

// What a caller says that it has counts only as far as it can have it: numbers
// beyond, or without the hash, leave all pending that was.
func TestWhatACallerClaimsIsNotSafe(t *testing.T) {
	ada := found(t, "")
	mal, key := member(t, ada, "Mal", entry.Viewer)
	syncWith(t, mal, meeting(t, ada)) // and says what it has taken
	note(t, ada, "one", "two", "three")
	if ada.Pending() != 3 {
		t.Fatalf("%d pending", ada.Pending())
	}
	own := ada.Digest().Frontier.Mark(ada.Device().Log())
	conn := calling(t, mal, key, meeting(t, ada))
	for name, m := range map[string]chain.Mark{
		"numbers beyond": {Log: own.Log, Seq: own.Seq + 100, Hash: own.Hash},
		"no hash":        {Log: own.Log, Seq: own.Seq},
		"another hash":   {Log: own.Log, Seq: own.Seq, Hash: entry.Brief{1, 2, 3}},
	} {
		have := chain.Frontier{}.With(m).With(mal.Digest().Frontier.Mark(mal.Device().Log()))
		if _, err := conn.Exchange(within(t), exchange.Request{Farm: ada.ID(), Have: have, MaxBytes: 1}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if got := ada.Pending(); got < 3 {
			t.Errorf("%s: %d pending, though nobody took any", name, got)
		}
	}
	syncWith(t, mal, meeting(t, ada)) // the honest twin takes them,
	syncWith(t, mal, meeting(t, ada)) // and says so
	if ada.Pending() != 0 {
		t.Errorf("%d pending, though Mal has taken all", ada.Pending())
	}
}

// calling is a connection of a changed program that speaks for a device.
func calling(t *testing.T, c *device, key ed25519.PrivateKey, at string) *transport.Conn {
	t.Helper()
	conn, err := transport.New(transport.Options{
		Address: at, Now: time.Now, Logger: slog.New(slog.DiscardHandler), Trust: func(*x509.Certificate) error { return nil },
		Token: func(audience string, now time.Time) (string, error) {
			return token.Sign(key, token.Caller{Farm: c.ID(), Device: c.Device()}, audience, now)
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	return conn
}

// A device that the caller does not know yet is known by the key that the record
// has, once it comes, and not by the one that it shows.
func TestAMetDevicesKeyIsCompared(t *testing.T) {
	ada := found(t, "")
	ben := joinMet(t, ada, "Ben", entry.Operator) // knows nothing of those who come after
	mal, malKey := member(t, ada, "Mal", entry.Viewer)
	cleo, cleoKey := member(t, ada, "Cleo", entry.Helper)
	syncWith(t, mal, meeting(t, ada))
	note(t, ben, "for the crew alone")
	answer := func(req exchange.Request) exchange.Response {
		resp := exchange.Response{Generation: exchange.Generation{7}, Have: req.Have, Stored: req.Have}
		for run, err := range mal.Runs() {
			if err == nil {
				resp.Runs = append(resp.Runs, run)
			}
		}
		return resp
	}
	var given []entry.Run
	l := &liar{answer: func(req exchange.Request) exchange.Response { given = append(given, req.Runs...); return answer(req) }}
	if _, err := ben.SyncWith(within(t), meetLiar(t, cleo.Device(), malKey, l)); !errors.Is(err, syncer.ErrUnknownPeer) {
		t.Errorf("Mal in Cleo's name: %v", err)
	}
	if len(given) != 0 {
		t.Errorf("%d runs were given to Mal in Cleo's name", len(given))
	}
	if _, err := ben.SyncWith(within(t), meetLiar(t, cleo.Device(), malKey, l)); !errors.Is(err, client.ErrPin) {
		t.Errorf("once she is known: %v", err)
	}
	if _, err := ben.SyncWith(within(t), meetLiar(t, cleo.Device(), cleoKey, l)); errors.Is(err, syncer.ErrUnknownPeer) || errors.Is(err, client.ErrPin) {
		t.Errorf("Cleo herself: %v", err)
	}
}
