package client_test

import (
	"errors"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// A farm has so many open invites; one that is used or has run out makes room.
func TestOpenInvitesAreBounded(t *testing.T) {
	now := time.Now()
	ada := opened(t, client.Options{Now: func() time.Time { return now }})
	if _, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	for range exchange.OpenInvites {
		if _, err := ada.Invite(within(t), "Ben", entry.Helper); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := ada.Invite(within(t), "Ben", entry.Helper); !errors.Is(err, exchange.ErrBound) {
		t.Errorf("one more: %v", err)
	}
	now = now.Add((exchange.InviteHours + 1) * time.Hour)
	if _, err := ada.Invite(within(t), "Ben", entry.Helper); err != nil {
		t.Errorf("when those have run out: %v", err)
	}
}

func opened(t *testing.T, o client.Options) *client.Client {
	t.Helper()
	c, err := client.Open(t.TempDir(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	return c
}
