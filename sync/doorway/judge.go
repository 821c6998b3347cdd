package doorway

import (
	"context"
	"strings"
	"time"

	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/peer"
	"google.golang.org/grpc/tap"

	servicev1 "turnrow/proto/turnrow/service/v1"
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
func (s *service) judge(ctx context.Context, info *tap.Info) (context.Context, error) {
	conn := connOf(ctx)
	conn.asked()
	ours := strings.HasPrefix(info.FullMethodName, "/"+servicev1.ExchangeService_ServiceDesc.ServiceName+"/")
	if !ours || info.FullMethodName == servicev1.ExchangeService_Join_FullMethodName {
		return s.timed(ctx, call{}, info.FullMethodName), nil
	}
	who, leave, err := s.caller(info)
	if err != nil {
		conn.refused()
		return ctx, failed(err)
	}
	conn.known()
	context.AfterFunc(ctx, leave)
	return s.timed(ctx, call{who: who}, info.FullMethodName), nil
}

// caller is who a call speaks for. What panics here would end the process.
func (s *service) caller(info *tap.Info) (who token.Caller, leave func(), err error) {
	defer recoverCall(s.log, info.FullMethodName, &err)
	return s.handler.Caller(bearer(info.Header))
}

// timed gives a call its time: all of it, or where it stays open the time until
// its message is here.
func (s *service) timed(ctx context.Context, c call, method string) context.Context {
	ctx, cancel := context.WithCancelCause(ctx)
	late := time.AfterFunc(s.times.call, func() { cancel(context.DeadlineExceeded) })
	context.AfterFunc(ctx, func() { late.Stop() })
	c.begun = func() {}
	if method == servicev1.ExchangeService_Watch_FullMethodName {
		c.begun = func() { late.Stop() }
	}
	return inTime{context.WithValue(ctx, callKey{}, c)}
}

// inTime is the context of a call that has its time. gRPC tells the caller by
// what error it ended, so that one whose time was over is not called cancelled.
type inTime struct{ context.Context }

// Err implements context.Context.
func (c inTime) Err() error {
	err := c.Context.Err()
	if err != nil && context.Cause(c.Context) == context.DeadlineExceeded {
		return context.DeadlineExceeded
	}
	return err
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
