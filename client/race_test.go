package client_test

import (
	"errors"
	"strings"
	gosync "sync"
	"testing"

	"turnrow/client"
	"turnrow/sync/exchange"
)

// A founding that fails, and a joining, take back what they did while others ask
// and exchange: the client is safe for concurrent use then too.
func TestAFoundingThatFailsBesideOthers(t *testing.T) {
	h := newHouse(t)
	at := h.foundingAddress()
	ada := found(t, at) // which spends the code
	wrong := strings.Replace(inviteAndSync(t, ada, "Ben"), h.srv.Pin(), newHouse(t).srv.Pin(), 1)
	c := open(t, t.TempDir())
	done := make(chan struct{})
	var others gosync.WaitGroup
	for _, ask := range []func(){
		func() { _ = c.Server() }, func() { _, _ = c.Sync(within(t)) }, func() { _ = c.Pending() }, func() { _ = c.View() },
		func() { _, _ = c.Verify(nil) }, func() { _, _ = c.Met(); _ = c.Waits() },
	} {
		others.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
					ask()
				}
			}
		})
	}
	for range 2 {
		if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve", At: at}); !errors.Is(err, exchange.ErrFounding) {
			t.Errorf("a used code: %v", err)
		}
		if _, err := c.Join(within(t), wrong, "phone"); !errors.Is(err, client.ErrPin) {
			t.Errorf("another server's pin: %v", err)
		}
	}
	close(done)
	others.Wait()
	if !c.Farm().IsZero() || !c.Device().IsZero() {
		t.Error("something was left behind")
	}
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve"}); err != nil {
		t.Errorf("and afterwards: %v", err)
	}
}
