package server_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	reflectionv1 "google.golang.org/grpc/reflection/grpc_reflection_v1"
	"google.golang.org/grpc/status"

	"turnrow/client"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/server"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/keyfile"
	"turnrow/sync/wire"
)

func TestHealthAndReflection(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	cc := bare(t, srv)
	for _, name := range []string{"", "turnrow.service.v1.ExchangeService"} {
		r, err := healthv1.NewHealthClient(cc).Check(within(t), &healthv1.HealthCheckRequest{Service: name})
		if err != nil || r.GetStatus() != healthv1.HealthCheckResponse_SERVING {
			t.Errorf("health of %q: %v, %v", name, r.GetStatus(), err)
		}
	}
	stream, err := reflectionv1.NewServerReflectionClient(cc).ServerReflectionInfo(within(t))
	if err != nil {
		t.Fatal(err)
	}
	ask := &reflectionv1.ServerReflectionRequest{MessageRequest: &reflectionv1.ServerReflectionRequest_ListServices{}}
	if err := stream.Send(ask); err != nil {
		t.Fatal(err)
	}
	r, err := stream.Recv()
	if err != nil || !strings.Contains(r.String(), "turnrow.service.v1.ExchangeService") {
		t.Errorf("reflection: %v, %v", r, err)
	}
}

// watching opens a watch, and gives what it tells and how it ends.
func watching(t *testing.T, srv *server.Server, p phone) (hints <-chan chain.Frontier, end <-chan error) {
	t.Helper()
	farm := p.ID()
	ctx := with(within(t), p.token(t, farm, audience(t, srv), time.Now()))
	stream, err := service(t, srv).Watch(ctx, &turnrowv1.WatchRequest{Farm: farm[:], Have: &turnrowv1.Frontier{}})
	if err != nil {
		t.Fatal(err)
	}
	heard, ended := make(chan chain.Frontier, 100), make(chan error, 1)
	go func() {
		for {
			m, err := stream.Recv()
			if err != nil {
				ended <- err
				return
			}
			a, err := wire.Hint(m)
			if err != nil {
				ended <- err
				return
			}
			heard <- a.Stored
		}
	}()
	return heard, ended
}

// next is what comes next on a channel, which must be soon.
func next[T any](t *testing.T, c <-chan T) T {
	t.Helper()
	select {
	case v := <-c:
		return v
	case <-time.After(patience):
		t.Fatal("nothing came")
		panic("unreachable")
	}
}

// until waits for a hint that says a device's log has come so far.
func until(t *testing.T, hints <-chan chain.Frontier, d entry.DeviceID, seq uint64) {
	t.Helper()
	for next(t, hints).Seq(d.Log()) < seq {
	}
}

// A watch tells what is new to the watcher, and nothing else: with many devices
// to a farm, and many that watch, the rest would be most of it.
func TestWatchTellsWhatIsNew(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	ben := joined(t, ada, "Ben", entry.Operator)
	level(t, ada)
	level(t, ben)
	farm := ben.ID()
	stream, err := service(t, srv).Watch(with(within(t), ben.token(t, farm, audience(t, srv), time.Now())), wire.WatchOut(farm, ben.Digest().Frontier))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []int{0, 1} {
		m, err := stream.Recv()
		if err != nil || len(m.GetStored().GetMarks()) != want {
			t.Fatalf("%d logs told of, not %d: %v, %v", len(m.GetStored().GetMarks()), want, m, err)
		}
		if want == 0 {
			note := &entry.Noted{Text: "gate open"}
			if _, err := ada.Record(within(t), entry.ID{}, note); err != nil {
				t.Fatal(err)
			}
			level(t, ada)
		}
	}
}

// A watch tells of what lands, and ends at once when its device is stopped.
func TestWatch(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	ben := joined(t, ada, "Ben", entry.Operator)
	hints, end := watching(t, srv, ben)
	next(t, hints) // how it stands at the start
	ids, err := ada.Record(within(t), entry.ID{}, &entry.Noted{Text: "gate open"})
	if err != nil {
		t.Fatal(err)
	}
	level(t, ada)
	until(t, hints, ada.Device(), ids[0].Seq)
	stopped(t, ada, ben)
	level(t, ada)
	if err := next(t, end); status.Code(err) != codes.PermissionDenied || reason(err) != "STOPPED" {
		t.Errorf("the watch of a stopped device ended with %v", err)
	}
}

// A server that stops ends its watches, and tells them to come back.
func TestStopEndsWatches(t *testing.T) {
	srv, stop := serve(t, t.TempDir())
	ada := founder(t, srv)
	hints, end := watching(t, srv, ada)
	next(t, hints)
	stop()
	if err := next(t, end); status.Code(err) != codes.Unavailable {
		t.Errorf("the watch ended with %v", err)
	}
}

// One device holds only so many watches, so that it can't crowd out others.
func TestWatchesPerDevice(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	ben := joined(t, ada, "Ben", entry.Operator)
	for range 4 {
		hints, _ := watching(t, srv, ada)
		next(t, hints)
	}
	_, end := watching(t, srv, ada)
	if err := next(t, end); status.Code(err) != codes.Unavailable || reason(err) != "BUSY" {
		t.Errorf("the fifth watch: %v", err)
	}
	hints, _ := watching(t, srv, ben)
	next(t, hints)
}

func TestSecondServerOnOneFolderIsRefused(t *testing.T) {
	data := t.TempDir()
	_, stop := serve(t, data)
	if _, err := server.New(server.Config{Data: data, Listen: "127.0.0.1:0"}); !errors.Is(err, logstore.ErrLocked) {
		t.Errorf("while the first runs: %v", err)
	}
	stop()
	serve(t, data)
}

func TestExposedKeyIsRefused(t *testing.T) {
	data := t.TempDir()
	_, stop := serve(t, data)
	stop()
	if err := os.Chmod(filepath.Join(data, "server.pem"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := server.New(server.Config{Data: data, Listen: "127.0.0.1:0"}); !errors.Is(err, keyfile.ErrExposed) {
		t.Errorf("key readable by others: %v", err)
	}
}

// Another founding address can be had while the server runs, and counts there.
func TestInviteFarmWhileServing(t *testing.T) {
	data := t.TempDir()
	if _, err := server.InviteFarm(data); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("before any server ran: %v", err)
	}
	if _, err := server.Farms(data); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the farms of a folder without a store: %v", err)
	}
	serve(t, data)
	at, err := server.InviteFarm(data)
	if err != nil {
		t.Fatal(err)
	}
	openPhone(t, func(c *client.Home) error {
		f, err := c.Found(within(t), client.FoundOptions{Farm: "Lower Lea", Owner: "Eve", At: at})
		if err == nil {
			err = f.Away
		}
		return err
	})
}

// What a server held is there after a restart, by the same pin; and the same
// to see while it is stopped.
func TestRestart(t *testing.T) {
	data := t.TempDir()
	srv, stop := serve(t, data)
	pin := srv.Pin()
	ada := founder(t, srv)
	before, err := srv.Farms()
	if err != nil {
		t.Fatal(err)
	}
	stop()
	still, err := server.Farms(data)
	if err != nil || len(still) != 1 || still[0] != before[0] {
		t.Errorf("stopped: %+v, was %+v (%v)", still, before, err)
	}
	srv, _ = serve(t, data)
	after, err := srv.Farms()
	if err != nil || len(after) != 1 || after[0] != before[0] || after[0].Farm != ada.ID() || srv.Pin() != pin {
		t.Errorf("after a restart: %+v, was %+v (%v)", after, before, err)
	}
}
