package client_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// A certificate that is not the one pinned is refused, and founding there
// leaves the home as it was.
func TestWrongPin(t *testing.T) {
	h, other := newHouse(t), newHouse(t)
	right := h.FoundingAddress()
	wrong := strings.Replace(right, h.Server.Pin(), other.Server.Pin(), 1)
	c := open(t, t.TempDir())
	o := client.FoundOptions{Farm: "Lea", Owner: "Ada", At: wrong}
	if _, err := c.Found(within(t), o); !errors.Is(err, client.ErrPin) {
		t.Fatalf("founded with a wrong pin: %v", err)
	}
	if c.Farm != nil {
		t.Error("something was left behind")
	}
	o.At = right
	if f, err := c.Found(within(t), o); err != nil || f.Away != nil {
		t.Errorf("afterwards, with the right pin: %v, %v", err, f.Away)
	}
}

func TestFoundingCodeCountsOnce(t *testing.T) {
	h := newHouse(t)
	at := h.FoundingAddress()
	ada := found(t, at)
	c := open(t, t.TempDir())
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve", At: at}); !errors.Is(err, exchange.ErrFounding) {
		t.Errorf("a used code: %v", err)
	}
	noCode := strings.Split(at, "code=")[0] + "pin=" + h.Server.Pin()
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve", At: noCode}); !errors.Is(err, exchange.ErrFarm) {
		t.Errorf("no code: %v", err)
	}
	// The same farm may come with its code again: its first answer may have been lost.
	if _, err := ada.At(within(t), at, client.AtOptions{}); err != nil {
		t.Errorf("the same farm with its own code: %v", err)
	}
}

// An invite is for a day, and for this farm; whoever has a used one waits, and
// the owner sees who asks.
func TestInviteIsRefused(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	invite := inviteAndSync(t, ada, "Ben")
	if _, err := open(t, t.TempDir()).Join(within(t), invite, "first"); err != nil {
		t.Fatal(err)
	}
	d := openAt(t, t.TempDir(), func() time.Time { return time.Now().Add(25 * time.Hour) })
	if _, err := d.Join(within(t), invite, "late"); !errors.Is(err, exchange.ErrInviteOver) || d.Farm != nil {
		t.Errorf("run out: %v, and something is left behind: %v", err, d.Farm != nil)
	}
	made := strings.Replace(invite, inviteSecret(t, invite), strings.Repeat("A", 43), 1)
	if j, err := open(t, t.TempDir()).Join(within(t), made, "made up"); err != nil || !errors.Is(j.Away, exchange.ErrInvite) || !j.Waits {
		t.Errorf("one that nobody gave: %+v, %v", j, err)
	}
	second := open(t, t.TempDir())
	j, err := second.Join(within(t), invite, "second")
	if err != nil || j.Away != nil || !j.Waits {
		t.Fatalf("used: %+v, %v", j, err)
	}
	note(t, second, "let me in")
	sync(t, second)
	sync(t, ada)
	if res := sync(t, second); !res.Waits || res.Received != 0 || counted(ada)["let me in"] != 0 {
		t.Errorf("it was let in: %+v", res)
	}
	asking := ada.Asking()
	if len(asking) != 1 || asking[0].Device() != second.Device() {
		t.Fatalf("asking: %+v", asking)
	}
	if err := ada.Admit(within(t), second.Device(), entry.ID{}, entry.NoRole); err != nil {
		t.Fatal(err)
	}
	sync(t, ada)
	sync(t, second)
	sameEverywhere(t, ada, second)
	if counted(ada)["let me in"] != 1 {
		t.Error("what it wrote while it waited does not count")
	}
}

// A server that does not hold the invite yet does not know better: the device
// goes on, and is taken in once the owner's device has exchanged.
func TestInviteThatTheServerDoesNotHoldYet(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	c := open(t, t.TempDir())
	j, err := c.Join(within(t), invited(t, ada, "Ben", entry.Helper), "phone")
	if err != nil || !errors.Is(j.Away, exchange.ErrInvite) {
		t.Fatalf("%v, away: %v", err, j.Away)
	}
	note(t, c, "already at work")
	sync(t, ada)
	sync(t, c)
	sync(t, ada)
	sameEverywhere(t, ada, c)
}

// A server without a pin must have a certificate that an authority vouches
// for, in its own name.
func TestAddressWithoutPin(t *testing.T) {
	h := newHouse(t)
	pinned := h.FoundingAddress()
	bare := strings.Replace(pinned, "pin="+h.Server.Pin(), "", 1)
	c := open(t, t.TempDir())
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Ada", At: bare}); !errors.Is(err, client.ErrUnvouched) {
		t.Errorf("nobody vouches for it: %v", err)
	}
	zero := strings.Replace(pinned, h.Server.Pin(), strings.Repeat("A", 43), 1)
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Ada", At: zero}); !errors.Is(err, client.ErrAddress) {
		t.Errorf("a pin of zeros: %v", err)
	}
}

// inviteSecret is the secret in an invite.
func inviteSecret(t *testing.T, invite string) string {
	t.Helper()
	_, after, ok := strings.Cut(invite, "secret=")
	if !ok {
		t.Fatal("an invite without a secret")
	}
	return strings.Split(after, "&")[0]
}
