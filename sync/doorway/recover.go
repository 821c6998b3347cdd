package doorway

import (
	"context"
	"log/slog"
	"runtime/debug"
	"slices"
	"time"

	"google.golang.org/grpc"

	"turnrow/sync/exchange"
)

// guarded registers services whose calls end alone where they panic. gRPC reads
// the message of a call that has one answer before its interceptors are asked, so
// an interceptor is too late for what panics in that.
type guarded struct {
	grpc.ServiceRegistrar
	log *slog.Logger
}

// RegisterService implements grpc.ServiceRegistrar.
func (g guarded) RegisterService(of *grpc.ServiceDesc, impl any) {
	desc := *of
	desc.Methods = slices.Clone(of.Methods)
	for i, m := range of.Methods {
		name := "/" + of.ServiceName + "/" + m.MethodName
		desc.Methods[i].Handler = func(srv any, ctx context.Context, read func(any) error, in grpc.UnaryServerInterceptor) (resp any, err error) {
			defer recoverCall(g.log, name, &err)
			return m.Handler(srv, ctx, read, in)
		}
	}
	g.ServiceRegistrar.RegisterService(&desc, impl)
}

// logged notes a call that has one answer.
func (s *service) logged(ctx context.Context, req any, info *grpc.UnaryServerInfo, next grpc.UnaryHandler) (any, error) {
	begun := time.Now()
	resp, err := next(ctx, req)
	s.log.Debug("call", "method", info.FullMethod, "took", time.Since(begun), "err", err)
	return resp, err
}

// stream guards a call that has many.
func (s *service) stream(srv any, ss grpc.ServerStream, info *grpc.StreamServerInfo, next grpc.StreamHandler) (err error) {
	defer recoverCall(s.log, info.FullMethod, &err)
	return next(srv, ss)
}

// recoverCall makes a panic the error of its call.
func recoverCall(log *slog.Logger, method string, err *error) {
	if p := recover(); p != nil {
		log.Error("call panicked", "method", method, "panic", p, "stack", string(debug.Stack()))
		*err = failed(exchange.ErrInternal)
	}
}
