package client_test

import (
	"testing"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
)

// off is a clock that stands so far from the others'.
func off(d time.Duration) func() time.Time {
	return func() time.Time { return time.Now().Add(d) }
}

// far checks whose clocks a device takes for far off.
func far(t *testing.T, what string, c *device, want ...client.FarClock) {
	t.Helper()
	got := c.FarClocks()
	if len(got) != len(want) {
		t.Errorf("%s: %+v, want %+v", what, got, want)
		return
	}
	for i := range want {
		if d := got[i].Ahead - want[i].Ahead; got[i].Device != want[i].Device || d.Abs() > time.Minute {
			t.Errorf("%s: %+v, want %+v", what, got, want)
		}
	}
}

// A phone whose date is far off is told so when it exchanges, with a server or a
// device that meets, and whoever has what it wrote is told too. A clock that is
// half an hour off, or an hour and a half, is nobody's matter.
func TestAClockThatIsFarOffIsTold(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	for _, d := range []time.Duration{25 * time.Hour, -25 * time.Hour, 90 * time.Minute, -30 * time.Minute} {
		t.Run(d.String(), func(t *testing.T) {
			invite := inviteAndSync(t, ada, "Ben")
			home := t.TempDir()
			ben := openAt(t, home, nil)
			if _, err := ben.Join(within(t), invite, "phone "+d.String()); err != nil {
				t.Fatal(err)
			}
			sync(t, ben)
			far(t, "in time", ben)
			if err := ben.Close(); err != nil {
				t.Fatal(err)
			}
			ben = openAt(t, home, off(d))
			told := []client.FarClock{{Device: ben.Device(), Ahead: d}}
			if d.Abs() < client.FarOff {
				told = nil
			}
			note(t, ben, "where the date is wrong")
			sync(t, ben)
			far(t, "at the server", ben, told...)
			sync(t, ada)
			if d < 0 {
				told = nil // what it wrote is past: that it had seen what came later is a doubt
			}
			far(t, "at the owner's", ada, told...)
			syncWith(t, ben, meeting(t, ada))
			if d < 0 && -d >= client.FarOff {
				told = []client.FarClock{{Device: ben.Device(), Ahead: d}}
			}
			far(t, "at a device that meets", ben, told...)
			if last := lastOf(ada, ben.Device()); len(told) > 0 { // what follows is not about this phone
				if _, err := ada.Record(within(t), entry.ID{}, &entry.DeviceStopped{Last: last, Why: "given back"}); err != nil {
					t.Fatal(err)
				}
				sync(t, ada)
			}
		})
	}
	far(t, "once they were stopped", ada)
}

// A device that has met nobody since it started has what others wrote last: where
// that of two is yet to come, it is its own clock that is behind.
func TestAClockBehindIsToldByTheRecord(t *testing.T) {
	home := t.TempDir()
	ada := open(t, home)
	if _, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	for _, who := range []string{"Ben", "Cleo"} {
		c := joinMet(t, ada, who, entry.Helper)
		note(t, c, "hello")
		syncWith(t, c, meeting(t, ada))
	}
	far(t, "all in time", ada)
	if err := ada.Close(); err != nil {
		t.Fatal(err)
	}
	ada = openAt(t, home, off(-72*time.Hour))
	far(t, "three days behind", ada, client.FarClock{Device: ada.Device(), Ahead: -72 * time.Hour})
}
