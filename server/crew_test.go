package server_test

import (
	"context"
	"crypto/ed25519"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/metadata"

	"turnrow/client"
	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/server"
	"turnrow/sync/cert"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/token"
)

// patience is how long a test waits for what must come; nothing waits for it
// to pass.
const patience = 20 * time.Second

// serve runs a server on loopback until the test ends, or stop is called.
func serve(t *testing.T, data string) (srv *server.Server, stop func()) {
	t.Helper()
	return started(t, server.Config{Data: data, Listen: "127.0.0.1:0"})
}

// started is serve for a server that is not like others.
func started(t *testing.T, c server.Config) (srv *server.Server, stop func()) {
	t.Helper()
	srv, err := server.New(c)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- srv.Run(ctx) }()
	running := true
	stop = func() {
		if !running {
			return
		}
		running = false
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("server ended with %v", err)
		}
	}
	t.Cleanup(stop)
	return srv, stop
}

// phone is a device of a farm, and its key for making tokens that a device would
// never make.
type phone struct {
	*client.Farm
	key ed25519.PrivateKey
}

func openPhone(t *testing.T, do func(*client.Home) error) phone {
	t.Helper()
	home := t.TempDir()
	h, err := client.Open(home, client.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { h.Close() })
	if err := do(h); err != nil {
		t.Fatal(err)
	}
	f, _ := h.Farm()
	b, err := os.ReadFile(filepath.Join(home, "device.pem"))
	if err != nil {
		t.Fatal(err)
	}
	block, _ := pem.Decode(b)
	key, err := x509.ParsePKCS8PrivateKey(block.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	return phone{f, key.(ed25519.PrivateKey)}
}

// founder is a farm's first device.
func founder(t *testing.T, srv *server.Server) phone {
	t.Helper()
	at, err := srv.FoundingAddress()
	if err != nil {
		t.Fatal(err)
	}
	ada := openPhone(t, func(c *client.Home) error {
		f, err := c.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: at})
		if err == nil {
			err = f.Away
		}
		return err
	})
	makesPorter(t, ada)
	return ada
}

// makesPorter has an owner say that the server may let in who joins, where that
// offers it and the owner's client has not said so yet.
func makesPorter(t *testing.T, owner phone) {
	t.Helper()
	for _, d := range owner.View().Devices {
		if d.Joined || d.Refused || !strings.HasPrefix(d.Name, "server at ") {
			continue
		}
		first := entry.Mark{}
		for _, run := range logs(t, owner) {
			if run.Device == d.ID && run.First == 1 {
				h := chain.Start(owner.ID(), d.ID, d.Key)
				h.Advance(run.Entries[0])
				first = h.Mark()
			}
		}
		if _, err := owner.Record(within(t), entry.ID{}, &entry.Admitted{Device: d.ID, Hash: first.Hash, Porter: true}); err != nil {
			t.Fatal(err)
		}
		level(t, owner)
	}
}

// joined is another device of the farm.
func joined(t *testing.T, owner phone, person string, role entry.Role) phone {
	t.Helper()
	invite, err := owner.Invite(within(t), person, role)
	if err != nil {
		t.Fatal(err)
	}
	level(t, owner)
	return openPhone(t, func(c *client.Home) error {
		j, err := c.Join(within(t), invite, person+"'s phone")
		if err == nil {
			err = j.Away
		}
		return err
	})
}

func level(t *testing.T, p phone) {
	t.Helper()
	if _, err := p.Sync(within(t)); err != nil {
		t.Fatal(err)
	}
}

// stopped has an owner stop a device, for all that it has written so far.
func stopped(t *testing.T, owner, p phone) {
	t.Helper()
	level(t, p)
	level(t, owner)
	last := owner.Digest().Frontier.Mark(p.Device().Log())
	if _, err := owner.Record(within(t), entry.ID{}, &entry.DeviceStopped{Last: last, Why: "lost in the brook"}); err != nil {
		t.Fatal(err)
	}
}

func within(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	t.Cleanup(cancel)
	return ctx
}

// audience is how tokens name a server.
func audience(t *testing.T, srv *server.Server) string {
	t.Helper()
	p, err := cert.ParsePin(srv.Pin())
	if err != nil {
		t.Fatal(err)
	}
	return p.Audience()
}

// bare is a connection that adds no tokens.
func bare(t *testing.T, srv *server.Server, opts ...grpc.DialOption) *grpc.ClientConn {
	t.Helper()
	tc := credentials.NewTLS(&tls.Config{InsecureSkipVerify: true}) // on loopback, to the test's own server
	cc, err := grpc.NewClient("passthrough:///"+srv.Addr(), append(opts, grpc.WithTransportCredentials(tc))...)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cc.Close() })
	return cc
}

func service(t *testing.T, srv *server.Server) servicev1.ExchangeServiceClient {
	t.Helper()
	return servicev1.NewExchangeServiceClient(bare(t, srv))
}

// with is a context whose calls carry a token.
func with(ctx context.Context, text string) context.Context {
	if text == "" {
		return ctx
	}
	return metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+text)
}

func (p phone) token(t *testing.T, farm entry.FarmID, audience string, at time.Time) string {
	t.Helper()
	return p.tokenOf(t, farm, p.Device(), audience, at)
}

// tokenOf is a token for whichever device.
func (p phone) tokenOf(t *testing.T, farm entry.FarmID, d entry.DeviceID, audience string, at time.Time) string {
	t.Helper()
	text, err := token.Sign(p.key, token.Caller{Farm: farm, Device: d}, audience, at)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// tokenFor is a token that names several servers.
func (p phone) tokenFor(t *testing.T, farm entry.FarmID, at time.Time, audiences ...string) string {
	t.Helper()
	text, err := jwt.NewWithClaims(jwt.SigningMethodEdDSA, jwt.MapClaims{
		"sub": p.Device().String(), "farm": farm.String(), "aud": audiences,
		"iat": at.Unix(), "exp": at.Add(exchange.TokenSeconds * time.Second).Unix(),
	}).SignedString(p.key)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
