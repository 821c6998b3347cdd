package doorway

import (
	"context"
	"errors"
	"log/slog"
	"slices"

	"google.golang.org/grpc"
	"google.golang.org/grpc/encoding"
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

// service answers calls by a handler.
type service struct {
	servicev1.UnimplementedExchangeServiceServer
	handler  *replica.Handler
	log      *slog.Logger
	stopping context.Context // ends when the server stops
	times    times
}

// Exchange implements the service.
func (s *service) Exchange(ctx context.Context, m *turnrowv1.ExchangeRequest) (*turnrowv1.ExchangeResponse, error) {
	req, err := wire.Request(m)
	if err != nil {
		return nil, failed(err)
	}
	resp, err := s.handler.Exchange(callOf(ctx).who, req)
	if err != nil {
		return nil, failed(err)
	}
	out := wire.ResponseOut(resp)
	return out, compressed(ctx, out)
}

// Join implements the service.
func (s *service) Join(ctx context.Context, m *turnrowv1.JoinRequest) (*turnrowv1.JoinResponse, error) {
	farm, run, code, err := wire.Join(m)
	if err != nil {
		return nil, failed(err)
	}
	a, err := s.handler.Join(farm, run, code)
	if errors.Is(err, exchange.ErrStopped) || errors.Is(err, exchange.ErrKeptOut) {
		connOf(ctx).joined() // one of the farm's logs, of which whoever brings them all may have many
	}
	if err != nil {
		return nil, failed(err)
	}
	connOf(ctx).joined()
	return wire.AdmissionOut(a), nil
}

// Watch implements the service.
func (s *service) Watch(m *turnrowv1.WatchRequest, stream grpc.ServerStreamingServer[turnrowv1.WatchResponse]) error {
	farm, have, err := wire.Watch(m)
	if err != nil {
		return failed(err)
	}
	c := callOf(stream.Context())
	c.begun()
	ctx, cancel := context.WithCancelCause(stream.Context())
	defer cancel(nil)
	defer context.AfterFunc(s.stopping, func() { cancel(errStopping) })()
	err = s.handler.Watch(ctx, c.who, farm, have, func(g exchange.Generation, news chain.Frontier) error {
		return stream.Send(wire.HintOut(g, news))
	})
	if cause := context.Cause(ctx); cause == errStopping {
		err = cause
	}
	return failed(err)
}

// errStopping tells a watcher to come back in a moment.
var errStopping error = &exchange.Failure{
	Err: exchange.ErrBusy, Text: "the server is stopping", Retry: exchange.RetryMillis,
}

// failed is an error as gRPC sends it.
func failed(err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return status.FromContextError(err).Err()
	}
	return status.FromProto(wire.Status(err)).Err()
}

func init() {
	encoding.RegisterCompressor(compress.Zstd{})
	encoding.RegisterCompressor(compress.Deflate{})
}

// compressed has an answer compressed where that makes it smaller, and the
// asker reads it.
func compressed(ctx context.Context, m proto.Message) error {
	can, err := grpc.ClientSupportedCompressors(ctx)
	reads := func(name string) bool { return err == nil && slices.Contains(can, name) }
	return grpc.SetSendCompressor(ctx, compress.Best(proto.Size(m), reads))
}
