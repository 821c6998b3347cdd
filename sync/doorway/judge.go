package doorway

import (
	"context"
	"log/slog"
	"strings"
	"time"

	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/peer"
	"google.golang.org/grpc/tap"

	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
	"turnrow/sync/token"
)

// call is a call that was let in by its headers.
type call struct {
	who   token.Caller // zero where it needs no token
	begun func()       // its message has come
}

type callKey struct{}

// callOf is the call of a handler's context.
func callOf(ctx context.Context) call {
	c, _ := ctx.Value(callKey{}).(call)
	return c
}

// judge lets calls in by their headers: without a token only those that ask
// what the server is, or to join. Nothing is read of the message of a call that
// is turned away. The time of a call begins here, and of one that is told of
// news the time within which it says of what.
func judge(door *replica.Door, log *slog.Logger) tap.ServerInHandle {
	return func(ctx context.Context, info *tap.Info) (context.Context, error) {
		ours := strings.HasPrefix(info.FullMethodName, "/"+servicev1.ExchangeService_ServiceDesc.ServiceName+"/")
		if !ours || info.FullMethodName == servicev1.ExchangeService_Join_FullMethodName {
			return timed(ctx, call{}, info.FullMethodName), nil
		}
		conn := connOf(ctx)
		who, leave, err := caller(door, log, info)
		if err != nil {
			conn.refused()
			return ctx, failed(err)
		}
		conn.known()
		context.AfterFunc(ctx, leave)
		return timed(ctx, call{who: who}, info.FullMethodName), nil
	}
}

// caller is who a call speaks for. What panics here would end the process.
func caller(door *replica.Door, log *slog.Logger, info *tap.Info) (who token.Caller, leave func(), err error) {
	defer recoverCall(log, info.FullMethodName, &err)
	return door.Caller(bearer(info.Header))
}

// timed gives a call its time: all of it, or where it stays open the time until
// its message is here.
func timed(ctx context.Context, c call, method string) context.Context {
	ctx, cancel := context.WithCancelCause(ctx)
	late := time.AfterFunc(exchange.CallSeconds*time.Second, func() { cancel(context.DeadlineExceeded) })
	context.AfterFunc(ctx, func() { late.Stop() })
	c.begun = func() {}
	if method == servicev1.ExchangeService_Watch_FullMethodName {
		c.begun = func() { late.Stop() }
	}
	return context.WithValue(ctx, callKey{}, c)
}

// bearer is the token of a call; empty where there is none.
func bearer(md metadata.MD) string {
	for _, v := range md.Get("authorization") {
		if t, ok := strings.CutPrefix(v, "Bearer "); ok {
			return t
		}
	}
	return ""
}

// connOf is the connection of a call.
func connOf(ctx context.Context) *conn {
	if p, ok := peer.FromContext(ctx); ok {
		if info, ok := p.AuthInfo.(authInfo); ok {
			return info.conn
		}
	}
	return nil
}
