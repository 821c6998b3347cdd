package client_test

import (
	"bytes"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// joinMet joins a person to a farm without a server, by meeting the owner.
func joinMet(t *testing.T, owner *device, person string, role entry.Role) *device {
	t.Helper()
	c := joinAway(t, invited(t, owner, person, role))
	syncWith(t, c, meeting(t, owner))
	return c
}

// Mal, an owner, lets in Eve, whom only he knows. A stop that takes back what he
// wrote says that Eve goes too, and brings her back if asked: as a person and a
// device, with all that she wrote.
func TestAStopSaysWhoGoesToo(t *testing.T) {
	ada := found(t, "")
	mal := joinMet(t, ada, "Mal", entry.Owner)
	last := lastOf(ada, mal.Device()).Seq
	note(t, mal, "lies")
	eve := joinMet(t, mal, "Eve", entry.Helper)
	note(t, eve, "honest work")
	syncWith(t, eve, meeting(t, ada))
	syncWith(t, mal, meeting(t, ada))

	s := client.Stopping{Device: mal.Device(), Why: "stolen"}
	p, err := ada.StopPreview(s)
	if err != nil || len(p.Void)+len(p.Out) != 0 || p.Asks() {
		t.Errorf("where all stands that is known: %+v, %v", p, err)
	}
	s.Since = last + 1
	p, err = ada.StopPreview(s)
	if err != nil || len(p.Out) != 1 || p.Out[0].ID != eve.Device() || !p.Asks() {
		t.Fatalf("who goes too: %+v, %v", p.Out, err)
	}
	var void []string
	for _, l := range p.Void {
		void = append(void, l.What)
	}
	if text := strings.Join(void, "; "); len(void) != 4 || !strings.Contains(text, "lies") {
		t.Errorf("what would count no more: %s", text)
	}
	if _, err := mal.Stop(within(t), client.Stopping{Device: ada.Device(), Why: "mine"}); !errors.Is(err, client.ErrElder) {
		t.Errorf("Mal stops his elder: %v", err)
	}
	if _, err := eve.Stop(within(t), s); !errors.Is(err, client.ErrOwner) {
		t.Errorf("a helper stops: %v", err)
	}
	s.Readmit = true
	if _, err := ada.Stop(within(t), s); err != nil {
		t.Fatal(err)
	}
	if stands, _ := standing(t, ada, mal.Device()); stands {
		t.Error("Mal still belongs")
	}
	if stands, role := standing(t, ada, eve.Device()); !stands || role != entry.Helper {
		t.Errorf("Eve stands: %v, as %v", stands, role)
	}
	if got := counted(ada); got["honest work"] != 1 || got["lies"] != 0 {
		t.Errorf("these count: %v", got)
	}
	for _, d := range ada.View().Devices {
		if d.ID == eve.Device() && ada.View().NameOf(d.Person) != "Eve" {
			t.Errorf("Eve's phone is %q's", ada.View().NameOf(d.Person))
		}
	}
	syncWith(t, eve, meeting(t, ada))
	note(t, eve, "more")
	syncWith(t, eve, meeting(t, ada))
	sameEverywhere(t, ada, eve)
	if counted(ada)["more"] != 1 {
		t.Error("what she writes now does not count")
	}
}

// Without being asked to, a stop brings nobody back.
func TestAStopPutsOutWhomItSaid(t *testing.T) {
	ada := found(t, "")
	mal := joinMet(t, ada, "Mal", entry.Owner)
	last := lastOf(ada, mal.Device()).Seq
	eve := joinMet(t, mal, "Eve", entry.Helper)
	syncWith(t, eve, meeting(t, ada))
	if _, err := ada.Stop(within(t), client.Stopping{Device: mal.Device(), Since: last + 1}); err != nil {
		t.Fatal(err)
	}
	if stands, _ := standing(t, ada, eve.Device()); stands {
		t.Error("Eve still belongs")
	}
}

// A device that was let in before the stop, and whose log nobody has shown yet,
// would belong once it comes: the stop says so, and stops it too if asked.
func TestAStopFindsTheDoorLeftOpen(t *testing.T) {
	ada := found(t, "")
	mal := joinMet(t, ada, "Mal", entry.Owner)
	thief := joinMet(t, mal, "Thief", entry.Helper)
	note(t, thief, "mine now")
	// What Mal wrote reaches Ada; what the thief wrote does not.
	if _, err := ada.CarryIn(reader(carryOf(t, mal, mal.Device()))); err != nil {
		t.Fatal(err)
	}
	s := client.Stopping{Device: mal.Device(), Why: "stolen"}
	p, err := ada.StopPreview(s)
	if err != nil || len(p.Unseen) != 1 || p.Unseen[0] != thief.Device() || !p.Asks() {
		t.Fatalf("doors left open: %v, %v", p.Unseen, err)
	}
	s.Unseen = true
	if _, err := ada.Stop(within(t), s); err != nil {
		t.Fatal(err)
	}
	if _, err := ada.CarryIn(reader(carryOut(t, thief))); err != nil {
		t.Fatal(err)
	}
	if stands, _ := standing(t, ada, thief.Device()); stands || counted(ada)["mine now"] != 0 {
		t.Error("the thief came in by the door that was left open")
	}
}

// The founding phone is stolen, and stops everybody. The code on paper ends it,
// and brings back whom it put out: what they wrote meanwhile counts.
func TestTheCodeOnPaperEndsAStolenFounder(t *testing.T) {
	home := filepath.Join(t.TempDir(), "ada")
	stolen := open(t, home)
	f, err := stolen.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", DeviceName: "Ada's phone"})
	if err != nil {
		t.Fatal(err)
	}
	bea, ben := joinMet(t, stolen, "Bea", entry.Owner), joinMet(t, stolen, "Ben", entry.Operator)
	note(t, stolen, "of an honest day")
	syncWith(t, ben, meeting(t, stolen))
	syncWith(t, bea, meeting(t, stolen))
	last := lastOf(ben, stolen.Device()).Seq

	for _, c := range []*device{bea, ben} { // the thief
		if _, err := stolen.Stop(within(t), client.Stopping{Device: c.Device(), Why: "ha"}); err != nil {
			t.Fatal(err)
		}
	}
	at := meeting(t, stolen)
	if _, err := ben.SyncWith(within(t), at); !errors.Is(err, exchange.ErrStopped) {
		t.Fatalf("Ben was stopped, and %v", err)
	}
	for _, c := range []*device{bea, ben} {
		if _, err := c.CarryIn(reader(carryOut(t, stolen))); err != nil {
			t.Fatal(err)
		}
	}
	note(t, ben, "written all the same")

	again := open(t, t.TempDir())
	if _, err := again.Recover(within(t), strings.Replace(f.Paper, "paper=", "paper=A", 1), "Ada's new phone"); !errors.Is(err, client.ErrAddress) {
		t.Errorf("a code with a wrong letter: %v", err)
	}
	r, err := again.Recover(within(t), f.Paper, "Ada's new phone")
	if err != nil || r.Away != nil || r.Paper == "" || r.Paper == f.Paper {
		t.Fatalf("%+v, %v", r, err)
	}
	if _, err := again.CarryIn(reader(carryOut(t, ben))); err != nil {
		t.Fatal(err)
	}
	if stands, role := standing(t, again, again.Device()); !stands || role != entry.Owner {
		t.Fatalf("the code let her in: %v, as %v", stands, role)
	}
	if _, err := again.Stop(within(t), client.Stopping{Device: stolen.Device(), Since: last + 1, Why: "stolen"}); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]*device{"Bea": bea, "Ben": ben} {
		if stands, _ := standing(t, again, c.Device()); !stands {
			t.Errorf("%s is still out", name)
		}
	}
	if got := counted(again); got["of an honest day"] != 1 || got["written all the same"] != 1 {
		t.Errorf("these count: %v", got)
	}
	if stands, _ := standing(t, again, stolen.Device()); stands {
		t.Error("the stolen phone still belongs")
	}
	if _, err := ben.CarryIn(reader(carryOut(t, again))); err != nil {
		t.Fatal(err)
	}
	syncWith(t, bea, meeting(t, again))
	syncWith(t, ben, meeting(t, again))
	syncWith(t, bea, meeting(t, ben))
	sameEverywhere(t, again, ben, bea)

	// The thief answers with all he has: the old code, which was photographed.
	thief := open(t, t.TempDir())
	if _, err := thief.Recover(within(t), f.Paper, "mine"); err != nil {
		t.Fatal(err)
	}
	third := open(t, t.TempDir())
	if _, err := third.Recover(within(t), r.Paper, "the next"); err != nil {
		t.Fatal(err)
	}
	for _, c := range []*device{thief, third} {
		if _, err := c.CarryIn(reader(carryOut(t, again))); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := third.CarryIn(reader(carryOut(t, thief))); err != nil {
		t.Fatal(err)
	}
	if _, err := third.Stop(within(t), client.Stopping{Device: thief.Device(), Since: 2, Why: "the old code"}); err != nil {
		t.Errorf("the next code stands above the one that it took the place of: %v", err)
	}
}

// carryOf is a carry file of one device's log alone.
func carryOf(t *testing.T, c *device, d entry.DeviceID) []byte {
	t.Helper()
	var b bytes.Buffer
	out, err := wire.NewCarryWriter(&b, wire.CarryHeader{Farm: c.ID(), Device: c.Device()})
	if err != nil {
		t.Fatal(err)
	}
	for run, err := range c.Runs() {
		if err == nil && run.Device == d {
			err = out.Run(&run)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
