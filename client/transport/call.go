package transport

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/encoding"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/cert"
	"turnrow/sync/chain"
	"turnrow/sync/compress"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// The errors of a call besides those of package exchange.
var (
	// ErrAway reports a replica that could not be reached, or that was lost
	// during the call. Asking again later is all that it takes.
	ErrAway = errors.New("not reached")
	// ErrUnvouched reports a certificate that no authority vouches for.
	ErrUnvouched = errors.New("no authority vouches for the server's certificate, and the address has no pin for it")
	// ErrServer reports a replica that answered with an error that has no meaning
	// here: it is there, and something is amiss with it.
	ErrServer = errors.New("it answered, but with an error of its own")
	// ErrOther reports an address where something else than turnrow answers.
	ErrOther = errors.New("no turnrow replica answers there")
)

// Exchange asks for one exchange.
func (c *Conn) Exchange(ctx context.Context, req exchange.Request) (exchange.Response, error) {
	m := wire.RequestOut(req)
	var out *turnrowv1.ExchangeResponse
	err := c.call(ctx, func(ctx context.Context) (err error) {
		out, err = c.service.Exchange(ctx, m, compressed(m, req.ReadsBrief)...)
		return err
	})
	if req.ReadsBrief && errors.Is(err, ErrOther) { // an older version, that does not read DEFLATE
		err = fmt.Errorf("%w: %w", exchange.ErrMalformed, err)
	}
	if err != nil {
		return exchange.Response{}, err
	}
	return wire.Response(out, req)
}

// Join asks to be taken in, with an invite or a founding code.
func (c *Conn) Join(ctx context.Context, farm entry.FarmID, run entry.Run, code string) (exchange.Admission, error) {
	m := wire.JoinOut(farm, run, code)
	var out *turnrowv1.JoinResponse
	err := c.call(ctx, func(ctx context.Context) (err error) {
		out, err = c.service.Join(ctx, m, compressed(m, false)...)
		return err
	})
	if err != nil {
		return exchange.Admission{}, err
	}
	return wire.Admission(out)
}

// Watch hears of new entries until the context ends or the connection is lost.
func (c *Conn) Watch(ctx context.Context, farm entry.FarmID, have chain.Frontier, hear func(exchange.Admission)) error {
	return c.retimed(func() error {
		stream, err := c.service.Watch(ctx, wire.WatchOut(farm, have))
		for err == nil {
			var m *turnrowv1.WatchResponse
			if m, err = stream.Recv(); err == nil {
				err = heard(m, hear)
			}
		}
		return c.meaning(ctx, err)
	})
}

func heard(m *turnrowv1.WatchResponse, hear func(exchange.Admission)) error {
	a, err := wire.Hint(m)
	if err == nil {
		hear(a)
	}
	return err
}

// call makes one call within its time.
func (c *Conn) call(ctx context.Context, do func(context.Context) error) error {
	ctx, cancel := context.WithTimeout(ctx, exchange.CallSeconds*time.Second)
	defer cancel()
	return c.retimed(func() error { return c.meaning(ctx, do(ctx)) })
}

// retimed makes a call once more, by the server's clock, where the token's
// time was what the server refused.
func (c *Conn) retimed(do func() error) error {
	err := do()
	var f *exchange.Failure
	if errors.Is(err, exchange.ErrTokenTime) && errors.As(err, &f) && f.Wall != 0 {
		c.creds.setClock(f.Wall)
		return do()
	}
	return err
}

// meaning is what a call's error means to the caller.
func (c *Conn) meaning(ctx context.Context, err error) error {
	if err == nil || errors.Is(err, exchange.ErrMalformed) {
		return err
	}
	if ctx.Err() != nil && !errors.Is(ctx.Err(), context.DeadlineExceeded) {
		return ctx.Err()
	}
	s := status.Convert(err)
	c.opts.Logger.Debug("call failed", "address", c.opts.Address, "status", s.Code(), "message", s.Message())
	if f := wire.Failure(s.Proto()); f != nil {
		return f
	}
	switch s.Code() {
	case codes.Unimplemented:
		return fmt.Errorf("%w: %s", ErrOther, c.opts.Address)
	case codes.ResourceExhausted:
		return fmt.Errorf("%w: %s", exchange.ErrBound, s.Message())
	}
	switch s.Code() {
	case codes.DeadlineExceeded:
		return fmt.Errorf("%w in time", c.unreached())
	case codes.Unavailable, codes.Canceled:
		return c.unreached()
	}
	if no := c.refused.Load(); no != nil {
		return *no
	}
	return fmt.Errorf("%s: %w: %s (%s)", c.opts.Address, ErrServer, s.Message(), s.Code())
}

func init() {
	encoding.RegisterCompressor(compress.Zstd{})
	encoding.RegisterCompressor(compress.Deflate{})
}

// compressed has a message compressed where that makes it smaller. Who read
// short names when last met read DEFLATE too.
func compressed(m proto.Message, brief bool) []grpc.CallOption {
	reads := func(name string) bool { return brief || name != compress.Deflate{}.Name() }
	if name := compress.Best(proto.Size(m), reads); name != encoding.Identity {
		return []grpc.CallOption{grpc.UseCompressor(name)}
	}
	return nil // which takes no header
}

func audience(leaf *x509.Certificate) string { return cert.PinOf(leaf.Raw).Audience() }
