package transport

import (
	"context"
	"crypto/tls"
	"log/slog"
	"net"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/keepalive"

	"turnrow/sync/doorway"
	"turnrow/sync/replica"
)

// grace is how long running calls may take to end when the meeting ends.
const grace = 2 * time.Second

// Serve answers the calls of other devices from behind a door, until the
// context ends.
func Serve(ctx context.Context, lis net.Listener, tc *tls.Config, door *replica.Door, log *slog.Logger) error {
	g := doorway.New(ctx, door, tc, log,
		grpc.KeepaliveEnforcementPolicy(keepalive.EnforcementPolicy{MinTime: ping / 3, PermitWithoutStream: true}))
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
