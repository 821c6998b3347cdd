package transport

import (
	"context"
	"crypto/tls"
	"errors"
	"net"
	"strings"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/compress"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
	"turnrow/sync/wire"
)

const (
	// streams is the calls that one connection of a met device may have open.
	streams = exchange.CallsInFlight + exchange.WatchesPerDevice
	// handshake is the time that a connection may take to introduce itself.
	handshake = 20 * time.Second
	// grace is how long running calls may take to end when the meeting ends.
	grace = 2 * time.Second
)

// Serve answers the calls of other devices from behind a door, until the
// context ends.
func Serve(ctx context.Context, lis net.Listener, tc *tls.Config, door *replica.Door) error {
	g := grpc.NewServer(
		grpc.Creds(credentials.NewTLS(tc)), grpc.ConnectionTimeout(handshake),
		grpc.MaxRecvMsgSize(exchange.MaxCall), grpc.MaxSendMsgSize(exchange.MaxCall),
		grpc.MaxConcurrentStreams(streams),
		grpc.KeepaliveEnforcementPolicy(keepalive.EnforcementPolicy{MinTime: ping / 3, PermitWithoutStream: true}),
	)
	servicev1.RegisterExchangeServiceServer(g, &host{door: door, meeting: ctx})
	ended := make(chan struct{})
	defer context.AfterFunc(ctx, func() {
		defer close(ended)
		hard := time.AfterFunc(grace, g.Stop)
		defer hard.Stop()
		g.GracefulStop()
	})()
	err := g.Serve(lis)
	if ctx.Err() != nil {
		<-ended
		return nil
	}
	return err
}

// host is a device that other devices meet.
type host struct {
	servicev1.UnimplementedExchangeServiceServer
	door    *replica.Door
	meeting context.Context
}

// Exchange implements the service.
func (h *host) Exchange(ctx context.Context, m *turnrowv1.ExchangeRequest) (*turnrowv1.ExchangeResponse, error) {
	req, err := wire.Request(m)
	if err != nil {
		return nil, failed(err)
	}
	resp, err := h.door.Exchange(bearer(ctx), req)
	if err != nil {
		return nil, failed(err)
	}
	out := wire.ResponseOut(resp)
	either := func(string) bool { return true } // who cannot read it gets it as it is
	_ = grpc.SetSendCompressor(ctx, compress.Best(proto.Size(out), either))
	return out, nil
}

// Join implements the service.
func (h *host) Join(_ context.Context, m *turnrowv1.JoinRequest) (*turnrowv1.JoinResponse, error) {
	farm, run, code, err := wire.Join(m)
	if err != nil {
		return nil, failed(err)
	}
	a, err := h.door.Join(farm, run, code)
	if err != nil {
		return nil, failed(err)
	}
	return wire.AdmissionOut(a), nil
}

// Watch implements the service.
func (h *host) Watch(m *turnrowv1.WatchRequest, stream grpc.ServerStreamingServer[turnrowv1.WatchResponse]) error {
	farm, have, err := wire.Watch(m)
	if err != nil {
		return failed(err)
	}
	ctx, cancel := context.WithCancel(stream.Context())
	defer cancel()
	defer context.AfterFunc(h.meeting, cancel)()
	return failed(h.door.Watch(ctx, bearer(ctx), farm, have, func(g exchange.Generation, news chain.Frontier) error {
		return stream.Send(wire.HintOut(g, news))
	}))
}

func bearer(ctx context.Context) string {
	for _, v := range metadata.ValueFromIncomingContext(ctx, "authorization") {
		if t, ok := strings.CutPrefix(v, "Bearer "); ok {
			return t
		}
	}
	return ""
}

func failed(err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return status.FromContextError(err).Err()
	}
	return status.FromProto(wire.Status(err)).Err()
}
