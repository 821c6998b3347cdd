// Package doorway serves a replica's handler by gRPC, for servers and for
// devices that meet others: messages to values, values to messages, errors to
// status codes. It judges who calls by the call's headers, before a message is
// read, and bounds what somebody costs who has not shown yet who it is.
//
// Both uses are served alike, but for what a [Use] names. Who may call is the
// handler's to say; the certificate is the caller's of [New].
package doorway

import (
	"context"
	"crypto/tls"
	"log/slog"
	"net"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/health"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/reflection"

	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// Use is what serving many farms and meeting others differ in, on purpose.
type Use struct {
	Connections int           // at once
	PerAddress  int           // of them from one address; 0 is as many as there are
	Grace       time.Duration // that running calls have to end in when the serving ends
	Reflects    bool          // whoever asks is told the schema
}

var (
	// AtServer is a server's use. Carriers put whole districts behind one address.
	AtServer = Use{Connections: exchange.ConnectionsAtOnce, Grace: 5 * time.Second, Reflects: true}
	// AtMeeting is that of a device that meets others: on its network anybody may
	// be, and when it ends somebody waits for it.
	AtMeeting = Use{
		Connections: exchange.MeetingConnections, PerAddress: exchange.MeetingPerAddress, Grace: 2 * time.Second,
	}
)

const (
	// streams is the calls that one connection may have open: those of one device.
	streams = exchange.CallsInFlight + exchange.WatchesPerDevice
	// window is the bytes of a stream that may be on their way before they are
	// read, and what a call can bring that is turned away by its headers.
	window = 64 << 10
	// maxHeader is the bytes of a call's headers: a token has about 400.
	maxHeader = 16 << 10
	// readBuffer is what each connection keeps to read with: a call without
	// entries, or a hint. Larger ones are read past it.
	readBuffer = 2 << 10
)

// times are how long things may take.
type times struct {
	handshake    time.Duration // of a connection, until it has introduced itself
	introduction time.Duration // of a connection, until a token is shown or a log is taken in
	call         time.Duration // of a call from its headers on; of one that stays open, until its message is here
	idle         time.Duration // that a connection may lie unused
	ping, pong   time.Duration // after which a silent connection is asked whether it is there, and may answer
	minPing      time.Duration // between the pings of the other side
}

var usual = times{
	handshake:    20 * time.Second,
	introduction: exchange.CallSeconds * time.Second, // that of one call
	call:         exchange.CallSeconds * time.Second,
	idle:         10 * time.Minute, // radios drop silent ones after some minutes anyway
	ping:         2 * time.Minute,  // finds out that a phone has gone
	pong:         20 * time.Second,
	minPing:      20 * time.Second, // who watches pings each minute, and phones batch their timers
}

// Server answers for a handler.
type Server struct {
	use    Use
	grpc   *grpc.Server
	health *health.Server
	stop   context.CancelFunc // tells what is open to come back
}

// New is a server before a handler, with the certificate that it shows. What
// panics in a call is written to the log, and ends the call alone.
func New(use Use, handler *replica.Handler, tc *tls.Config, log *slog.Logger) *Server {
	return within(usual, use, handler, tc, log)
}

func within(t times, use Use, handler *replica.Handler, tc *tls.Config, log *slog.Logger) *Server {
	stopping, stop := context.WithCancel(context.Background())
	s := &service{handler: handler, log: log, stopping: stopping, times: t}
	g := grpc.NewServer(
		grpc.Creds(s.creds(tc)), grpc.ConnectionTimeout(t.handshake), grpc.InTapHandle(s.judge),
		grpc.MaxRecvMsgSize(exchange.MaxCall), grpc.MaxSendMsgSize(exchange.MaxCall),
		grpc.InitialWindowSize(window), grpc.InitialConnWindowSize(streams*window),
		grpc.MaxConcurrentStreams(streams), grpc.MaxHeaderListSize(maxHeader),
		grpc.ReadBufferSize(readBuffer), // most connections only listen
		grpc.KeepaliveEnforcementPolicy(keepalive.EnforcementPolicy{MinTime: t.minPing, PermitWithoutStream: true}),
		grpc.KeepaliveParams(keepalive.ServerParameters{MaxConnectionIdle: t.idle, Time: t.ping, Timeout: t.pong}),
		grpc.UnaryInterceptor(s.logged), grpc.StreamInterceptor(s.stream),
	)
	services := guarded{g, log}
	servicev1.RegisterExchangeServiceServer(services, s)
	h := health.NewServer()
	healthv1.RegisterHealthServer(services, h)
	h.SetServingStatus(servicev1.ExchangeService_ServiceDesc.ServiceName, healthv1.HealthCheckResponse_SERVING)
	if use.Reflects {
		reflection.RegisterV1(g)
	}
	return &Server{use: use, grpc: g, health: h, stop: stop}
}

// Serve takes calls until the context ends, which is no error, or the listener
// fails. Then it ends the watches, lets running calls end within the use's
// grace, and returns; it serves once.
func (s *Server) Serve(ctx context.Context, lis net.Listener) error {
	ended := make(chan struct{})
	defer context.AfterFunc(ctx, func() {
		defer close(ended)
		s.end()
	})()
	err := s.grpc.Serve(s.use.bounded(lis))
	if ctx.Err() != nil {
		<-ended
		return nil
	}
	s.end()
	return err
}

func (s *Server) end() {
	s.health.Shutdown()
	s.stop()
	hard := time.AfterFunc(s.use.Grace, s.grpc.Stop)
	defer hard.Stop()
	s.grpc.GracefulStop()
}
