package doorway

import (
	"context"
	"crypto/ed25519"
	"crypto/tls"
	"log/slog"
	"net"
	"testing"
	"time"

	"github.com/cockroachdb/pebble/v2/vfs"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"

	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/replica"
	"turnrow/sync/simtest/workload"
	"turnrow/sync/token"
)

// patience is how long a test waits for what must come; nothing waits for it
// to pass.
const patience = 20 * time.Second

// eachUse runs a test of what holds for servers and for meetings.
func eachUse(t *testing.T, test func(t *testing.T, use Use)) {
	for name, use := range map[string]Use{"at a server": AtServer, "at a meeting": AtMeeting} {
		t.Run(name, func(t *testing.T) { t.Parallel(); test(t, use) })
	}
}

// served is a farm that is served on loopback until the test ends.
type served struct {
	t     *testing.T
	farm  *workload.Farm
	here  string // the address
	cert  tls.Certificate
	stop  context.CancelFunc
	ended chan error

	replica *replica.Replica
	lis     net.Listener
	handler *replica.Handler

	// asked is called when a farm is looked for, and may panic, wait, or give an
	// error; nil where the farm is just there.
	asked func() error
}

// Farm implements replica.Farms.
func (s *served) Farm(entry.FarmID) (*replica.Replica, func(), error) {
	if s.asked != nil {
		if err := s.asked(); err != nil {
			return nil, nil, err
		}
	}
	return s.replica, func() {}, nil
}

// Found implements replica.Farms.
func (s *served) Found(entry.FarmID, entry.Run, string) error { return s.asked() }

// prepared is a farm that may be served.
func prepared(t *testing.T) *served {
	t.Helper()
	f, err := workload.NewFarm("Upper Lea", 1)
	if err != nil {
		t.Fatal(err)
	}
	store, err := logstore.Open("store", logstore.Options{FS: vfs.NewMem()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	log, err := store.Farm(f.ID)
	if err != nil {
		t.Fatal(err)
	}
	s := &served{t: t, farm: f, ended: make(chan error, 1)}
	if s.replica, err = replica.Open(f.ID, store.Generation(), log); err != nil {
		t.Fatal(err)
	}
	if _, err := s.replica.Take(f.Start); err != nil {
		t.Fatal(err)
	}
	if s.cert, err = cert.Make(ed25519.NewKeyFromSeed(make([]byte, ed25519.SeedSize)), "replica", time.Now()); err != nil {
		t.Fatal(err)
	}
	audience := []string{cert.PinOf(s.cert.Certificate[0]).Audience()}
	s.handler = replica.NewHandler(s, store.Generation(), func() []string { return audience }, time.Now, slog.New(slog.DiscardHandler))
	return s
}

// serve serves the farm.
func (s *served) serve(use Use, t times) *served {
	s.t.Helper()
	if s.lis == nil {
		var err error
		if s.lis, err = net.Listen("tcp", "127.0.0.1:0"); err != nil {
			s.t.Fatal(err)
		}
	}
	s.here = s.lis.Addr().String()
	ctx, stop := context.WithCancel(context.Background())
	s.stop = stop
	server := within(t, use, s.handler, cert.TLS(s.cert), slog.New(slog.DiscardHandler))
	go func() { s.ended <- server.Serve(ctx, s.lis); close(s.ended) }()
	s.t.Cleanup(func() {
		stop()
		if err := <-s.ended; err != nil {
			s.t.Error(err)
		}
	})
	return s
}

// conn is a new connection, which adds no tokens.
func (s *served) conn(opts ...grpc.DialOption) *grpc.ClientConn {
	s.t.Helper()
	opts = append(opts, grpc.WithTransportCredentials(credentials.NewTLS(shown())))
	cc, err := grpc.NewClient("passthrough:///"+s.here, opts...)
	if err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(func() { cc.Close() })
	return cc
}

func (s *served) api() servicev1.ExchangeServiceClient {
	return servicev1.NewExchangeServiceClient(s.conn())
}

// shown trusts whoever answers: on loopback, the test's own server.
func shown() *tls.Config { return &tls.Config{InsecureSkipVerify: true, NextProtos: []string{"h2"}} }

// soon is a context for what must not take long.
func soon(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	t.Cleanup(cancel)
	return ctx
}

// ours is a context whose calls carry the token of the owner's device.
func (s *served) ours() context.Context {
	return metadata.AppendToOutgoingContext(soon(s.t), "authorization", "Bearer "+s.token())
}

func (s *served) token() string {
	s.t.Helper()
	w := s.farm.Writers[0]
	who := token.Caller{Farm: s.farm.ID, Device: w.Device()}
	text, err := token.Sign(w.Key, who, cert.PinOf(s.cert.Certificate[0]).Audience(), time.Now())
	if err != nil {
		s.t.Fatal(err)
	}
	return text
}

// ask is an exchange that asks for all.
func (s *served) ask() *turnrowv1.ExchangeRequest {
	return &turnrowv1.ExchangeRequest{Farm: s.farm.ID[:], Have: &turnrowv1.Frontier{}}
}

// works fails unless an exchange on a connection is answered.
func (s *served) works(api servicev1.ExchangeServiceClient) {
	s.t.Helper()
	if _, err := api.Exchange(s.ours(), s.ask()); err != nil {
		s.t.Errorf("an exchange of who may: %v", err)
	}
}

// watch is a watch that has begun.
func (s *served) watch() servicev1.ExchangeService_WatchClient {
	s.t.Helper()
	w, err := s.api().Watch(s.ours(), &turnrowv1.WatchRequest{Farm: s.farm.ID[:], Have: &turnrowv1.Frontier{}})
	if err == nil {
		_, err = w.Recv() // how it stands
	}
	if err != nil {
		s.t.Fatal(err)
	}
	return w
}

// retry is how long an error asks to wait.
func retry(err error) time.Duration {
	for _, d := range status.Convert(err).Details() {
		if info, ok := d.(*errdetails.RetryInfo); ok {
			return info.GetRetryDelay().AsDuration()
		}
	}
	return 0
}

// note is stored as if another had brought it.
func (s *served) note(text string) {
	s.t.Helper()
	run, err := s.farm.Writers[0].Run(entry.Draft{Body: &entry.Noted{Text: text}})
	if err == nil {
		_, err = s.replica.Take([]entry.Run{run})
	}
	if err != nil {
		s.t.Fatal(err)
	}
}

// unsaid opens a call whose message never comes.
func (s *served) unsaid(ctx context.Context, cc *grpc.ClientConn, method string) grpc.ClientStream {
	s.t.Helper()
	stream, err := cc.NewStream(ctx, &grpc.StreamDesc{ClientStreams: true, ServerStreams: true}, method)
	if err != nil {
		s.t.Fatal(err)
	}
	return stream
}

// reason is why a call failed, by the word for programs; empty where gRPC
// itself ended it.
func reason(err error) string {
	for _, d := range status.Convert(err).Details() {
		if info, ok := d.(*errdetails.ErrorInfo); ok {
			return info.GetReason()
		}
	}
	return ""
}
