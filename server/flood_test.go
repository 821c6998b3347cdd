package server_test

import (
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/encoding/gzip"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/server"
	"turnrow/sync/compress"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// Connections that say nothing, or hardly anything, keep nobody out.
func TestSlowConnectionsKeepNobodyOut(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	for n := range 200 {
		c, err := net.Dial("tcp", srv.Addr())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		if n%2 == 0 {
			if _, err := c.Write([]byte{22, 3, 1, 2, 0, 1}); err != nil { // the first bytes of a TLS greeting
				t.Fatal(err)
			}
		}
	}
	level(t, ada)
}

// Messages that are too large are refused before they are held: sent so, made
// so by unpacking, or with headers without end. The device that sent them goes on.
func TestOversizeCalls(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	farm := ada.ID()
	ctx := with(t.Context(), ada.token(t, farm, audience(t, srv), time.Now()))
	huge := &turnrowv1.ExchangeRequest{Farm: farm[:], Runs: []*turnrowv1.Run{{Entries: [][]byte{make([]byte, 64<<20)}}}}
	api := service(t, srv)
	for name, opts := range map[string][]grpc.CallOption{
		"as it is": nil, "by gzip": {grpc.UseCompressor(gzip.Name)}, "by Zstandard": {grpc.UseCompressor(compress.Zstd{}.Name())},
		"by DEFLATE": {grpc.UseCompressor(compress.Deflate{}.Name())},
	} {
		_, err := api.Exchange(ctx, huge, opts...)
		if c := status.Code(err); c != codes.ResourceExhausted && (name != "by Zstandard" || c != codes.Internal) {
			t.Errorf("64 MiB, %s: %v", name, err)
		}
	}
	long := metadata.AppendToOutgoingContext(ctx, "x-words", strings.Repeat("a", 64<<10))
	if _, err := api.Exchange(long, &turnrowv1.ExchangeRequest{Farm: farm[:]}); err == nil {
		t.Error("64 KiB of headers were taken")
	}
	level(t, ada)
}

// A device that calls without end is told to wait, and for how long; another is
// served meanwhile.
func TestFloodOfCalls(t *testing.T) {
	now := time.Now() // for the server it stays: nobody earns new calls by waiting
	srv := run(t, server.Config{Data: t.TempDir(), Listen: "127.0.0.1:0", Now: func() time.Time { return now }})
	ada := founder(t, srv)
	ben := joined(t, ada, "Ben", entry.Operator)
	farm := ada.ID()
	ctx := with(t.Context(), ada.token(t, farm, audience(t, srv), now)) // thousands of calls take as long as they take
	api := service(t, srv)
	const each = exchange.CallsBurst/64 + 2
	var calls sync.WaitGroup
	errs := make(chan error, 64*each)
	for range 64 {
		calls.Go(func() {
			for range each {
				_, err := api.Exchange(ctx, &turnrowv1.ExchangeRequest{Farm: farm[:], Have: &turnrowv1.Frontier{}})
				errs <- err
			}
		})
	}
	for range 5 {
		level(t, ben)
	}
	calls.Wait()
	close(errs)
	served := 0
	for err := range errs {
		switch {
		case err == nil:
			served++
		case status.Code(err) != codes.Unavailable || reason(err) != "BUSY" || wait(err) <= 0:
			t.Fatalf("sent away with %v", err)
		}
	}
	if served == 0 || served > exchange.CallsBurst {
		t.Errorf("%d calls were served, %d may be", served, exchange.CallsBurst)
	}
	t.Logf("%d of %d calls were served", served, cap(errs))
}

// wait is how long an error asks to wait.
func wait(err error) time.Duration {
	for _, d := range status.Convert(err).Details() {
		if info, ok := d.(*errdetails.RetryInfo); ok {
			return info.GetRetryDelay().AsDuration()
		}
	}
	return 0
}

// Strangers who know a farm's ID, and have a log that somebody showed them, ask
// to join without end: who has an invite joins meanwhile.
func TestStrangersLeaveRoomToJoin(t *testing.T) {
	now := time.Now()
	srv, _ := started(t, server.Config{Data: t.TempDir(), Listen: "127.0.0.1:0", Now: func() time.Time { return now }})
	ada := founder(t, srv)
	farm := ada.ID()
	seen := wire.JoinOut(farm, ownLog(t, ada), "")
	made := wire.JoinOut(farm, enrolment(t, farm, 7, noInviteOf(1)), "")
	var calls sync.WaitGroup
	for range 32 {
		api := service(t, srv)
		calls.Go(func() {
			for n := range exchange.CallsBurst/32 + 4 {
				m := seen
				if n%2 == 0 {
					m = made
				}
				_, err := api.Join(t.Context(), m)
				if c := status.Code(err); c != codes.OK && c != codes.PermissionDenied && c != codes.Unavailable { // it is cut off now and then
					t.Error(err)
				}
			}
		})
	}
	joined(t, ada, "Ben", entry.Operator)
	calls.Wait()
	joined(t, ada, "Cleo", entry.Helper)
}
