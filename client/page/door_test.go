package page_test

import (
	"html"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/client/page"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// deviceNamed is a device of the crew, by its name.
func deviceNamed(t *testing.T, c *handset, name string) farm.Device {
	t.Helper()
	for _, d := range c.View().Devices {
		if d.Name == name {
			return d
		}
	}
	t.Fatalf("no device is called %s", name)
	return farm.Device{}
}

// joinAnyway joins on an invite that was used: the device waits.
func joinAnyway(t *testing.T, invite, name string) *handset {
	t.Helper()
	c := open(t, nil)
	if _, err := c.Join(within(t), invite, name); err != nil {
		t.Fatal(err)
	}
	return c
}

// carry takes what one device holds to another in a file.
func carry(t *testing.T, from, to *handset) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "carry")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := from.CarryOut(f); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Seek(0, 0); err != nil {
		t.Fatal(err)
	}
	if _, err := to.CarryIn(f); err != nil {
		t.Fatal(err)
	}
}

// picture keeps a picture where somebody wants to look.
func (s *screen) picture(name string) {
	if shotDir != "" {
		s.shoot(name)
	}
}

// An owner on a phone lets a device in or keeps it out, sees a stranger's hold
// until then, and stops a device with what goes with it said first.
func TestTheDoorOnAPhone(t *testing.T) {
	ada := found(t, "")
	invite, err := ada.Invite(within(t), "Ben", entry.Operator)
	if err != nil {
		t.Fatal(err)
	}
	ben := joinAnyway(t, invite, "Ben's phone")
	carry(t, ben, ada)
	one, two := joinAnyway(t, invite, "Ben's tablet"), joinAnyway(t, invite, "some phone")
	record(t, two, &entry.HoldRaised{Why: "stop, stop"})
	carry(t, one, ada)
	carry(t, two, ada)
	d := serve(t, ada, page.Options{Now: func() time.Time { return time.Now() }})
	s := d.show(t, phone)

	s.visit("/")
	s.reads("#holds", "stop, stop — some phone, which waits to be let in")
	s.picture("door-now")
	s.tapText("2 devices wait")
	s.reads("#waiting", "Waiting")
	s.picture("door-crew")
	s.tap(`li:nth-child(2) button[formaction="/crew/refuse"]`)
	s.reads("#wrote", "refused device some phone")
	s.lacks("#holds", "stop, stop")
	s.tapText("Let it in: Ben's, operator")
	s.reads("#wrote", "let in Ben as operator, on Ben's tablet")
	s.picture("door-in")

	s.visit("/crew")
	s.tap("ul.lines > li:nth-child(2) summary")
	s.picture("door-stops")
	s.tapText("Stop Ben's tablet")
	s.reads("h1", "Stop Ben's tablet")
	s.picture("door-stop")
	s.tapText("Stop it")
	s.reads("#wrong", "Say why: pick a reason, or type one.")
	s.tapText("lost")
	s.tapText("Stop it")
	s.reads("#wrote", "stopped device Ben's tablet (lost)")
	s.picture("door-stopped")
	if !deviceNamed(t, ada, "Ben's tablet").Stopped || deviceNamed(t, ada, "Ben's phone").Stopped {
		t.Error("the wrong device is stopped")
	}
	s.tap("ul.lines > li:nth-child(2) summary")
	s.tapText("Let Ben's tablet in again")
	s.reads("#wrote", "let in Ben as operator, on Ben's tablet")
	if deviceNamed(t, ada, "Ben's tablet").Stopped {
		t.Error("the tablet is not let in again")
	}
	s.visit("/crew/stop?device=" + ada.Device().String())
	s.reads("main", "No owner's device would be left")
	s.picture("door-last")
}

// A device that was stopped says so on each view, and stops nobody; nor does an
// operator's.
func TestWhoWasStoppedIsTold(t *testing.T) {
	ada := found(t, "")
	invite, err := ada.Invite(within(t), "Ben", entry.Operator)
	if err != nil {
		t.Fatal(err)
	}
	ben := joinAnyway(t, invite, "Ben's phone")
	d := serve(t, ben, page.Options{})
	d.shows("/crew", "This device waits to be let in")
	carry(t, ben, ada)
	carry(t, ada, ben)
	d.shows("/crew/stop?device="+ada.Device().String(), "Only an owner stops a device.")
	if _, err := ada.Stop(within(t), client.Stopping{Member: deviceNamed(t, ada, "Ben's phone").Person, Why: "season over"}); err != nil {
		t.Fatal(err)
	}
	carry(t, ada, ben)
	d.shows("/", "This device was stopped: what it writes is kept apart.")
}

// shows wants a text on a view.
func (d *device) shows(path, want string) {
	d.t.Helper()
	if got := d.get(path); !strings.Contains(got, html.EscapeString(want)) {
		d.t.Errorf("%s does not say %q:\n%s", path, want, got)
	}
}
