package transport_test

import (
	"errors"
	"testing"

	"turnrow/client/transport"
	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// An older version that cannot read a brief request is asked again in full; what
// does not implement the call in full either is no replica.
func TestOlderVersionCannotReadBriefRequests(t *testing.T) {
	// As gRPC answers for a program that cannot read how a message is packed: it
	// does not implement the call.
	c, ctx := dial(t, serveWith(t, servicev1.UnimplementedExchangeServiceServer{}))
	for brief, want := range map[bool]bool{true: true, false: false} {
		_, err := c.Exchange(ctx, exchange.Request{Farm: entry.FarmID{1}, ReadsBrief: brief})
		if !errors.Is(err, transport.ErrOther) || errors.Is(err, exchange.ErrMalformed) != want {
			t.Errorf("brief %t: %v", brief, err)
		}
	}
}
