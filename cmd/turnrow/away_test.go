package main

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/client/report"
	"turnrow/sync/exchange"
)

// Only a server that was not reached is called away.
func TestAwayIsSaidOfNoServerThatAnswered(t *testing.T) {
	k := &call{globals: &globals{}, farm: holder(t, t.TempDir())}
	for _, tt := range []struct {
		err  error
		away bool
		want string
	}{
		{fmt.Errorf("127.0.0.1:1: %w", client.ErrAway), true, "The server is away: all is written down here, and goes there with the next turnrow sync."},
		{fmt.Errorf("%w: %w", client.ErrBrokeOff, client.ErrAway), false, "The server answered, then the link was lost"},
		{exchange.ErrInvite, false, "The server answered, and did not take this yet"},
		{errors.New("full"), false, "The server answered, and did not take this yet (full)"},
	} {
		if got := k.away(tt.err)[0]; !strings.HasPrefix(got, tt.want) || report.IsAway(tt.err) != tt.away {
			t.Errorf("%v: %q", tt.err, got)
		}
	}
}
