// Package doorway is a replica's door as gRPC has it, for servers and for
// devices that meet others: messages to values, values to messages, errors to
// status codes. It judges who calls by the call's headers, before a message is
// read, and bounds what somebody costs who has not shown yet who it is.
package doorway

import (
	"context"
	"crypto/tls"
	"log/slog"
	"runtime/debug"
	"time"

	"google.golang.org/grpc"

	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

const (
	// streams is the calls that one connection may have open: those of one device.
	streams = exchange.CallsInFlight + exchange.WatchesPerDevice
	// window is the bytes of a stream that may be on their way before they are
	// read, and what a call can bring that is turned away by its headers.
	window = 64 << 10
	// handshake is the time that a connection may take to introduce itself.
	handshake = 20 * time.Second
	// maxHeader is the bytes of a call's headers: a token has about 400.
	maxHeader = 16 << 10
)

// New is a gRPC server that answers for a door with a certificate. What is
// running when stopping ends is told to come back.
func New(stopping context.Context, door *replica.Door, tc *tls.Config, log *slog.Logger, more ...grpc.ServerOption) *grpc.Server {
	g := grpc.NewServer(append(more,
		grpc.Creds(newCreds(tc)), grpc.ConnectionTimeout(handshake), grpc.InTapHandle(judge(door, log)),
		grpc.MaxRecvMsgSize(exchange.MaxCall), grpc.MaxSendMsgSize(exchange.MaxCall),
		grpc.InitialWindowSize(window), grpc.InitialConnWindowSize(streams*window),
		grpc.MaxConcurrentStreams(streams), grpc.MaxHeaderListSize(maxHeader),
		grpc.UnaryInterceptor(bounded(log)), grpc.StreamInterceptor(recovered(log)),
	)...)
	servicev1.RegisterExchangeServiceServer(g, &service{door: door, stopping: stopping})
	return g
}

// bounded keeps the server up where a call panics.
func bounded(log *slog.Logger) grpc.UnaryServerInterceptor {
	return func(ctx context.Context, req any, info *grpc.UnaryServerInfo, next grpc.UnaryHandler) (resp any, err error) {
		defer recoverCall(log, info.FullMethod, &err)
		begun := time.Now()
		resp, err = next(ctx, req)
		log.Debug("call", "method", info.FullMethod, "took", time.Since(begun), "err", err)
		return resp, err
	}
}

func recovered(log *slog.Logger) grpc.StreamServerInterceptor {
	return func(srv any, ss grpc.ServerStream, info *grpc.StreamServerInfo, next grpc.StreamHandler) (err error) {
		defer recoverCall(log, info.FullMethod, &err)
		return next(srv, ss)
	}
}

func recoverCall(log *slog.Logger, method string, err *error) {
	if p := recover(); p != nil {
		log.Error("call panicked", "method", method, "panic", p, "stack", string(debug.Stack()))
		*err = failed(exchange.ErrInternal)
	}
}
