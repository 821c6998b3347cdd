package server_test

import (
	"context"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/server"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// unsaid opens a call whose message never comes.
func unsaid(ctx context.Context, t *testing.T, srv *server.Server, method string) grpc.ClientStream {
	t.Helper()
	stream, err := bare(t, srv).NewStream(ctx, &grpc.StreamDesc{ClientStreams: true, ServerStreams: true}, method)
	if err != nil {
		t.Fatal(err)
	}
	return stream
}

// Who calls is judged by the call's headers: who has no token that counts is
// told so before any of its message has come.
func TestCallsAreJudgedByTheirHeaders(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	for _, c := range everybody(t, srv) {
		if c.want == well || c.want == otherFarm {
			continue // of which farm a call speaks says its message
		}
		for _, method := range []string{servicev1.ExchangeService_Exchange_FullMethodName, servicev1.ExchangeService_Watch_FullMethodName} {
			err := unsaid(with(within(t), c.token), t, srv, method).RecvMsg(new(turnrowv1.ExchangeResponse))
			if got := (answer{status.Code(err), reason(err)}); got != c.want {
				t.Errorf("%s, %s: %v, want %v", method, c.name, err, c.want)
			}
		}
	}
}

// A device may have only so many calls open, messages that never come among
// them; another is served meanwhile.
func TestOpenCallsOfOneDevice(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	mal := joined(t, ada, "Mal", entry.Operator)
	ctx := with(within(t), mal.token(t, ada.ID(), audience(t, srv), time.Now()))
	ended := make(chan error)
	const tries = 3 * 2 * (exchange.CallsInFlight + exchange.WatchesPerDevice)
	for range tries {
		s := unsaid(ctx, t, srv, servicev1.ExchangeService_Exchange_FullMethodName)
		go func() { ended <- s.RecvMsg(new(turnrowv1.ExchangeResponse)) }()
	}
	for range tries * 2 / 3 {
		if err := next(t, ended); status.Code(err) != codes.Unavailable || reason(err) != "BUSY" {
			t.Fatalf("a call too many ends with %v", err)
		}
	}
	level(t, ada)
}
