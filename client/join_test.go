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
	right := h.foundingAddress()
	wrong := strings.Replace(right, h.srv.Pin(), other.srv.Pin(), 1)
	c := open(t, t.TempDir())
	o := client.FoundOptions{Farm: "Lea", Owner: "Ada", At: wrong}
	if _, err := c.Found(within(t), o); !errors.Is(err, client.ErrPin) {
		t.Fatalf("founded with a wrong pin: %v", err)
	}
	if !c.Farm().IsZero() || !c.Device().IsZero() {
		t.Error("something was left behind")
	}
	o.At = right
	if f, err := c.Found(within(t), o); err != nil || f.Away != nil {
		t.Errorf("afterwards, with the right pin: %v, %v", err, f.Away)
	}
}

func TestFoundingCodeCountsOnce(t *testing.T) {
	h := newHouse(t)
	at := h.foundingAddress()
	ada := found(t, at)
	c := open(t, t.TempDir())
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve", At: at}); !errors.Is(err, exchange.ErrFounding) {
		t.Errorf("a used code: %v", err)
	}
	noCode := strings.Split(at, "code=")[0] + "pin=" + h.srv.Pin()
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve", At: noCode}); !errors.Is(err, exchange.ErrFarm) {
		t.Errorf("no code: %v", err)
	}
	// The same farm may come with its code again: its first answer may have been lost.
	if _, err := ada.At(within(t), at, client.AtOptions{}); err != nil {
		t.Errorf("the same farm with its own code: %v", err)
	}
}

// An invite counts once, and for a day.
func TestInviteIsRefused(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.foundingAddress())
	invite := inviteAndSync(t, ada, "Ben")
	if _, err := open(t, t.TempDir()).Join(within(t), invite, "first"); err != nil {
		t.Fatal(err)
	}
	late := invited(t, ada, "Cleo", entry.Helper)
	for _, c := range []struct {
		name, invite string
		now          func() time.Time
		want         error
	}{
		{"used", invite, nil, exchange.ErrInviteFull},
		{"run out", invite, func() time.Time { return time.Now().Add(25 * time.Hour) }, exchange.ErrInviteOver},
		{"another secret", swapSecret(t, invite, late), nil, exchange.ErrProof},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := openAt(t, t.TempDir(), c.now)
			if _, err := d.Join(within(t), c.invite, "second"); !errors.Is(err, c.want) {
				t.Errorf("%v, want %v", err, c.want)
			}
			if !d.Farm().IsZero() {
				t.Error("something was left behind")
			}
		})
	}
	sync(t, ada)
	if _, ok := deviceNamed(ada, "second"); ok {
		t.Error("a refused device is in the record")
	}
}

// A server that does not hold the invite yet does not know better: the device
// goes on, and is taken in once the owner's device has exchanged.
func TestInviteThatTheServerDoesNotHoldYet(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.foundingAddress())
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
	pinned := h.foundingAddress()
	bare := strings.Replace(pinned, "pin="+h.srv.Pin(), "", 1)
	c := open(t, t.TempDir())
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Ada", At: bare}); !errors.Is(err, client.ErrUnvouched) {
		t.Errorf("nobody vouches for it: %v", err)
	}
	zero := strings.Replace(pinned, h.srv.Pin(), strings.Repeat("A", 43), 1)
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Ada", At: zero}); !errors.Is(err, client.ErrAddress) {
		t.Errorf("a pin of zeros: %v", err)
	}
}

// swapSecret gives an invite the secret of another.
func swapSecret(t *testing.T, invite, other string) string {
	t.Helper()
	secret := func(s string) string {
		_, after, ok := strings.Cut(s, "secret=")
		if !ok {
			t.Fatal("an invite without a secret")
		}
		return strings.Split(after, "&")[0]
	}
	return strings.Replace(invite, secret(invite), secret(other), 1)
}
