package client_test

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync/atomic"
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

// An owner's device that writes about rights beyond its day's budget keeps what it
// wrote, and is told; the others go on, and get the rest another day.
func TestRightsBeyondADayStayWithTheirWriter(t *testing.T) {
	var ahead atomic.Int64
	now := func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) }
	h := &house{T: t, Data: filepath.Join(t.TempDir(), "data"), Listen: "127.0.0.1:0", Now: now}
	h.Start()
	t.Cleanup(func() { h.Stop() })
	ada := openAt(t, t.TempDir(), now)
	if f, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: h.FoundingAddress()}); err != nil || f.Away != nil {
		t.Fatal(err, f.Away)
	}
	ben := join(t, ada, "Ben", entry.Operator)
	sync(t, ada)
	members := make([]entry.Body, exchange.DayRights)
	for i := range members {
		members[i] = &entry.MemberAdded{Name: fmt.Sprint("Hand ", i), Role: entry.Helper}
	}
	if _, err := ada.Record(within(t), entry.ID{}, members...); err != nil {
		t.Fatal(err)
	}
	if _, err := ada.Sync(within(t)); err == nil || !strings.Contains(err.Error(), "about rights") {
		t.Errorf("beyond the day's: %v", err)
	}
	if n := len(ada.View().Crew); n != exchange.DayRights+2 || ada.Pending() < exchange.DayRights {
		t.Errorf("%d people, %d pending at the writer's", n, ada.Pending())
	}
	note(t, ben, "work goes on")
	sync(t, ben)
	if len(ben.View().Crew) != 2 {
		t.Errorf("Ben has %d people", len(ben.View().Crew))
	}
	if _, err := ben.CarryIn(reader(carryOut(t, ada))); err != nil || len(ben.View().Crew) != 2 {
		t.Errorf("carried: %v, %d people", err, len(ben.View().Crew))
	}
	ahead.Store(int64(24 * time.Hour))
	sync(t, ada)
	if ada.Pending() != 0 || counted(ada)["work goes on"] != 1 {
		t.Errorf("the day after %d are pending", ada.Pending())
	}
}

func opened(t *testing.T, o client.Options) *device {
	t.Helper()
	return deviceAt(t, t.TempDir(), o)
}
