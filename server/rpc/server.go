// Package rpc is a server's gRPC server: the door, and what the server says of
// itself.
package rpc

import (
	"context"
	"crypto/tls"
	"log/slog"
	"net"
	"time"

	"golang.org/x/net/netutil"
	"google.golang.org/grpc"
	"google.golang.org/grpc/health"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/reflection"

	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/sync/doorway"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

const (
	// minPing is how often a device may ping: one that watches pings each
	// minute, and phones batch their timers.
	minPing = 20 * time.Second
	// idle is how long a connection may lie unused. Radios drop silent ones
	// after some minutes anyway.
	idle = 10 * time.Minute
	// ping finds out that a phone has gone.
	ping, pingTimeout = 2 * time.Minute, 20 * time.Second
	// readBuffer is what each connection keeps to read with: a call without
	// entries, or a hint. Larger ones are read past it.
	readBuffer = 2 << 10
	// grace is how long running calls may take to end when the server stops.
	grace = 5 * time.Second
)

// Server is the gRPC server before a door.
type Server struct {
	grpc   *grpc.Server
	health *health.Server
	stop   context.CancelFunc // ends the watches
}

// New is a server with its certificate, before a door.
func New(door *replica.Door, tc *tls.Config, log *slog.Logger) *Server {
	stopping, stop := context.WithCancel(context.Background())
	g := doorway.New(stopping, door, tc, log,
		grpc.ReadBufferSize(readBuffer), // most connections only listen
		grpc.KeepaliveEnforcementPolicy(keepalive.EnforcementPolicy{MinTime: minPing, PermitWithoutStream: true}),
		grpc.KeepaliveParams(keepalive.ServerParameters{MaxConnectionIdle: idle, Time: ping, Timeout: pingTimeout}),
	)
	s := &Server{grpc: g, health: health.NewServer(), stop: stop}
	healthv1.RegisterHealthServer(g, s.health)
	s.health.SetServingStatus(servicev1.ExchangeService_ServiceDesc.ServiceName, healthv1.HealthCheckResponse_SERVING)
	reflection.RegisterV1(g)
	return s
}

// Serve takes calls until the context ends. Then it ends the watches, lets
// running calls end within a few seconds, and returns.
func (s *Server) Serve(ctx context.Context, lis net.Listener) error {
	stopped := make(chan struct{})
	defer context.AfterFunc(ctx, func() {
		defer close(stopped)
		s.end()
	})()
	err := s.grpc.Serve(netutil.LimitListener(lis, exchange.ConnectionsAtOnce))
	if ctx.Err() != nil {
		<-stopped
		return nil
	}
	s.end()
	return err
}

func (s *Server) end() {
	s.health.Shutdown()
	s.stop()
	hard := time.AfterFunc(grace, s.grpc.Stop)
	defer hard.Stop()
	s.grpc.GracefulStop()
}
