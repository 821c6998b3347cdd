package client_test

import (
	"errors"
	"path/filepath"
	"runtime"
	"strings"
	gosync "sync"
	"testing"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// beside does things over and over, each by itself, while work goes on.
func beside(work func(), others ...func()) {
	done := make(chan struct{})
	var all gosync.WaitGroup
	for _, do := range others {
		all.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
					do()
					runtime.Gosched()
				}
			}
		})
	}
	work()
	close(done)
	all.Wait()
}

// A founding that fails, and a joining, take back what they did while others ask
// the home for a farm: nobody ever gets one that did not come about.
func TestAFoundingThatFailsBesideOthers(t *testing.T) {
	h := newHouse(t)
	at := h.FoundingAddress()
	ada := found(t, at) // which spends the code
	wrong := strings.Replace(inviteAndSync(t, ada, "Ben"), h.Server.Pin(), newHouse(t).Server.Pin(), 1)
	home := open(t, t.TempDir()).Home
	beside(func() {
		for range 2 {
			if _, err := home.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve", At: at}); !errors.Is(err, exchange.ErrFounding) {
				t.Errorf("a used code: %v", err)
			}
			if _, err := home.Join(within(t), wrong, "phone"); !errors.Is(err, client.ErrPin) {
				t.Errorf("another server's pin: %v", err)
			}
		}
	}, func() {
		if f, err := home.Farm(); f != nil || !errors.Is(err, client.ErrNoFarm) {
			t.Errorf("a farm that was not founded yet: %v", err)
		}
	}, func() { _ = home.Damaged() })
	f, err := home.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve"})
	if err != nil {
		t.Fatalf("and afterwards: %v", err)
	}
	if now, err := home.Farm(); now != f.Farm || err != nil {
		t.Errorf("the home gives another farm than was founded in it: %v", err)
	}
}

// A home that was restored is read while it joins anew. Where that fails it goes
// on as it was; where it succeeds the farm that was open is closed, and whoever
// waits on it is told.
func TestAJoiningAnewBesideOthers(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	invite := inviteAndSync(t, ada, "Ben")
	wrong := strings.Replace(invite, h.Server.Pin(), newHouse(t).Server.Pin(), 1)
	file, dir := filepath.Join(t.TempDir(), "backup"), filepath.Join(t.TempDir(), "home")
	if _, err := ada.Backup(file); err != nil {
		t.Fatal(err)
	}
	if _, err := client.Restore(file, dir); err != nil {
		t.Fatal(err)
	}
	ben := open(t, dir)
	old, first := ben.Farm, ben.Farm.View().Entries
	told, ctx := make(chan struct{}), within(t)
	go func() {
		defer close(told)
		for range old.Changes(ctx) {
			continue
		}
	}()
	beside(func() {
		for range 2 {
			if _, err := ben.Home.Join(within(t), wrong, "phone"); !errors.Is(err, client.ErrPin) {
				t.Errorf("another server's pin: %v", err)
			}
			if now, err := ben.Home.Farm(); now != old || err != nil {
				t.Errorf("a joining that failed put another farm in the home: %v", err)
			}
		}
		if j, err := ben.Home.Join(within(t), invite, "phone"); err != nil || j.Away != nil || j.Waits {
			t.Errorf("joined: %v, away: %v", err, j.Away)
		}
	}, func() {
		if f, err := ben.Home.Farm(); err != nil || f.View().Entries < first {
			t.Errorf("the record was not there: %v", err)
		}
		_, err := old.Record(within(t), entry.ID{}, &entry.Noted{Text: "by nobody"})
		if !errors.Is(err, client.ErrNoIdentity) && !errors.Is(err, client.ErrClosed) {
			t.Errorf("a home without an identity writes: %v", err)
		}
		_, _, _ = old.Pending(), old.Waits(), old.Server()
		_, _ = old.Sync(within(t))
	})
	if <-told; ctx.Err() != nil {
		t.Error("who waited on the identity before was not told that it is closed")
	}
	ben.Farm, _ = ben.Home.Farm()
	note(t, ben, "by Ben")
	sync(t, ben)
	sync(t, ada)
	sameEverywhere(t, ada, ben)
	if n := notes(t, ada); n["by Ben"] != 1 || n["by nobody"] != 0 {
		t.Errorf("written: %v", n)
	}
}

// What is closed writes nothing and begins nothing, and says so.
func TestAClosedHome(t *testing.T) {
	c := found(t, "")
	seen := c.View()
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	_, written := c.Record(within(t), entry.ID{}, &entry.Noted{Text: "x"})
	_, asked := c.Home.Farm()
	_, begun := c.Home.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve"})
	for what, err := range map[string]error{"a write": written, "the farm": asked, "a founding": begun, "a meeting": c.Meet(within(t), "127.0.0.1:0", nil)} {
		if !errors.Is(err, client.ErrClosed) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if c.View() != seen {
		t.Error("what was read is another after closing")
	}
	if err := c.Close(); err != nil {
		t.Errorf("closing again: %v", err)
	}
}
