package transport

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/credentials"
)

// tokens gives each call its token. It is made for the server whose
// certificate the connection was shown, by the server's clock once that is
// known to differ.
type tokens struct {
	sign   func(audience string, now time.Time) (string, error)
	now    func() time.Time
	offset atomic.Int64 // nanoseconds that the server's clock is ahead
}

// GetRequestMetadata implements credentials.PerRPCCredentials.
func (t *tokens) GetRequestMetadata(ctx context.Context, _ ...string) (map[string]string, error) {
	info, ok := credentials.RequestInfoFromContext(ctx)
	state, isTLS := info.AuthInfo.(credentials.TLSInfo)
	if !ok || !isTLS || len(state.State.PeerCertificates) == 0 {
		return nil, errors.New("transport: no certificate to make a token for")
	}
	text, err := t.sign(audience(state.State.PeerCertificates[0]), t.now().Add(time.Duration(t.offset.Load())))
	if err != nil || text == "" {
		return nil, err
	}
	return map[string]string{"authorization": "Bearer " + text}, nil
}

// RequireTransportSecurity implements credentials.PerRPCCredentials.
func (*tokens) RequireTransportSecurity() bool { return true }

// setClock takes the server's wall clock, ms since 1970.
func (t *tokens) setClock(wall int64) { t.offset.Store(int64(time.UnixMilli(wall).Sub(t.now()))) }
