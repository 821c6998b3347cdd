package transport

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/credentials"

	"turnrow/sync/exchange"
)

// tokens gives each call its token. It is made for the server whose
// certificate the connection was shown, by the server's clock once that is
// known to differ. One token serves for half of its time: HTTP/2 sends a header
// that it has sent before in a byte or two.
type tokens struct {
	sign   func(audience string, now time.Time) (string, error)
	now    func() time.Time
	offset atomic.Int64 // nanoseconds that the server's clock is ahead
	last   atomic.Pointer[signed]
}

// signed is a token, for whom and until when to use it.
type signed struct {
	text, audience string
	from, until    time.Time
}

// GetRequestMetadata implements credentials.PerRPCCredentials.
func (t *tokens) GetRequestMetadata(ctx context.Context, _ ...string) (map[string]string, error) {
	info, ok := credentials.RequestInfoFromContext(ctx)
	state, isTLS := info.AuthInfo.(credentials.TLSInfo)
	if !ok || !isTLS || len(state.State.PeerCertificates) == 0 {
		return nil, errors.New("transport: no certificate to make a token for")
	}
	text, err := t.token(audience(state.State.PeerCertificates[0]))
	if err != nil || text == "" {
		return nil, err
	}
	return map[string]string{"authorization": "Bearer " + text}, nil
}

// token is the last token, or a new one where that will not do.
func (t *tokens) token(audience string) (string, error) {
	now := t.now().Add(time.Duration(t.offset.Load()))
	if s := t.last.Load(); s != nil && s.audience == audience && !now.Before(s.from) && now.Before(s.until) {
		return s.text, nil
	}
	text, err := t.sign(audience, now)
	if err == nil {
		t.last.Store(&signed{text, audience, now, now.Add(exchange.TokenSeconds / 2 * time.Second)})
	}
	return text, err
}

// RequireTransportSecurity implements credentials.PerRPCCredentials.
func (*tokens) RequireTransportSecurity() bool { return true }

// Ahead is how far the other's clock is ahead of this side's; 0 where they are as
// near as tokens ask.
func (c *Conn) Ahead() time.Duration { return time.Duration(c.creds.offset.Load()) }

// setClock takes the server's wall clock, ms since 1970.
func (t *tokens) setClock(wall int64) {
	t.offset.Store(int64(time.UnixMilli(wall).Sub(t.now())))
	t.last.Store(nil)
}
