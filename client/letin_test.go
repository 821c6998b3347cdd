package client_test

import (
	"errors"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// standing is how a device stands, as a client's own record has it.
func standing(t *testing.T, c *device, d entry.DeviceID) (stands bool, role entry.Role) {
	t.Helper()
	for _, v := range c.View().Devices {
		if v.ID == d {
			return v.Joined && !v.Stopped, v.Role
		}
	}
	return false, entry.NoRole
}

// counted says how often each note counts in a client's record.
func counted(c *device) map[string]int {
	n := map[string]int{}
	for _, l := range c.Lines() {
		if b, ok := l.Body.(*entry.Noted); ok && l.LeftOut == "" {
			n[b.Text]++
		}
	}
	return n
}

// A joiner may write at once, and waits. Whoever he meets keeps what he wrote
// and passes it on; he gets the record, and counts, once an owner's device let
// him in: here by way of a phone that passed.
func TestAJoinerWaitsUntilAnOwnersDeviceHasHim(t *testing.T) {
	ada := found(t, "")
	cleo := joinAway(t, invited(t, ada, "Cleo", entry.Helper))
	if res := syncWith(t, cleo, meeting(t, ada)); res.Waits || cleo.Waits() {
		t.Errorf("at an owner's device she is let in at once: %+v", res)
	}
	invite := invited(t, ada, "Ben", entry.Operator)
	syncWith(t, cleo, meeting(t, ada)) // which brings her the invite
	ben := joinAway(t, invite)
	if !ben.Waits() {
		t.Error("nobody has let Ben in, and he does not wait")
	}
	note(t, ben, "from the hill")
	at := meeting(t, cleo)
	if res := syncWith(t, ben, at); !res.Waits || res.Received != 0 || ben.Pending() != 0 {
		t.Errorf("Cleo lets nobody in: %+v, %d pending", res, ben.Pending())
	}
	note(t, ben, "and one more")
	if res := syncWith(t, ben, at); !res.Waits || ben.Pending() != 0 {
		t.Errorf("what he wrote since: %+v, %d pending", res, ben.Pending())
	}
	if got := counted(cleo); len(got) != 0 {
		t.Errorf("what he wrote counts already: %v", got)
	}
	syncWith(t, cleo, meeting(t, ada))
	if got := counted(cleo); got["from the hill"] != 1 || got["and one more"] != 1 {
		t.Errorf("once Ada has let him in, these count at Cleo's: %v", got)
	}
	if res := syncWith(t, ben, at); res.Waits || ben.Waits() {
		t.Errorf("he still waits: %+v", res)
	}
	sameEverywhere(t, cleo, ben)
}

// A second owner's device lets in as well, and whoever calls does too.
func TestASecondOwnersDeviceLetsIn(t *testing.T) {
	ada := found(t, "")
	bea := joinAway(t, invited(t, ada, "Bea", entry.Owner))
	syncWith(t, bea, meeting(t, ada))
	cleo := joinAway(t, invited(t, ada, "Cleo", entry.Helper))
	syncWith(t, cleo, meeting(t, ada))
	invite := invited(t, ada, "Ben", entry.Helper)
	syncWith(t, cleo, meeting(t, ada))
	ben := joinAway(t, invite)
	note(t, ben, "hello")
	syncWith(t, ben, meeting(t, cleo))
	res := syncWith(t, bea, meeting(t, cleo))
	if !slices.Equal(res.Admitted, []entry.DeviceID{ben.Device()}) {
		t.Errorf("Bea's phone let in %v", res.Admitted)
	}
	if got := counted(cleo); got["hello"] != 1 {
		t.Errorf("and told nobody: at Cleo's %v counts", got)
	}
}

// A carry file brings a joiner's log as anything else does, and the owner's
// device lets him in.
func TestCarriedJoinerIsLetIn(t *testing.T) {
	ada := found(t, "")
	ben := joinAway(t, invited(t, ada, "Ben", entry.Helper))
	note(t, ben, "hello")
	done, err := ada.CarryIn(reader(carryOut(t, ben)))
	if err != nil || !slices.Equal(done.Admitted, []entry.DeviceID{ben.Device()}) || counted(ada)["hello"] != 1 {
		t.Errorf("%+v, %v", done, err)
	}
	if _, err := ben.CarryIn(reader(carryOut(t, ada))); err != nil || ben.Waits() {
		t.Errorf("he waits: %v", err)
	}
	sameEverywhere(t, ada, ben)
}

// Past an invite's end, by its own clock, an owner's device lets nobody in by
// itself: it asks, whichever way the joiner's log comes. A device whose clock says
// that it is in time lets in on the same invite.
func TestAnOwnersDeviceAsksPastAnInvitesEnd(t *testing.T) {
	var ahead atomic.Int64
	ada := openAt(t, t.TempDir(), func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) })
	if _, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	bea := joinMet(t, ada, "Bea", entry.Owner)
	invite := invited(t, ada, "Ben", entry.Helper)
	syncWith(t, bea, meeting(t, ada))
	ben := joinAway(t, invite)
	file := carryOut(t, ben)
	ahead.Store(int64((exchange.InviteHours + 1) * time.Hour))
	if done, err := ada.CarryIn(reader(file)); err != nil || slices.Contains(done.Admitted, ben.Device()) || len(ada.Asking()) != 1 {
		t.Errorf("carried in: %+v, %v, %d ask", done, err, len(ada.Asking()))
	}
	note(t, ben, "hello") // and by carry file again, with more of his log
	if done, err := ada.CarryIn(reader(carryOut(t, ben))); err != nil || slices.Contains(done.Admitted, ben.Device()) || counted(ada)["hello"] != 0 {
		t.Errorf("carried in again: %+v, %v", done, err)
	}
	if done, err := bea.CarryIn(reader(file)); err != nil || len(done.Admitted) != 1 {
		t.Errorf("at Bea's, in time: %+v, %v", done, err)
	}
	syncWith(t, ada, meeting(t, bea))
	if stands, _ := standing(t, ada, ben.Device()); !stands || counted(ada)["hello"] != 1 {
		t.Error("whom Bea let in in time does not count at Ada's")
	}
}

// What no device lets in by itself, its owner may: or keep it out.
func TestAnOwnerLetsInOrKeepsOut(t *testing.T) {
	ada := found(t, "")
	invite := invited(t, ada, "Ben", entry.Operator)
	ben, eve := joinAway(t, invite), joinAway(t, invite)
	note(t, eve, "mine")
	syncWith(t, ben, meeting(t, ada))
	if res, err := eve.SyncWith(within(t), meeting(t, ada)); err != nil || !res.Waits {
		t.Fatalf("a second one on one invite: %+v, %v", res, err)
	}
	asking := ada.Asking()
	if len(asking) != 1 || asking[0].Device() != eve.Device() || asking[0].Invite.Used != ben.Device() {
		t.Fatalf("asking: %+v", asking)
	}
	if err := ben.Refuse(within(t), eve.Device()); !errors.Is(err, client.ErrOwner) {
		t.Errorf("an operator keeps her out: %v", err)
	}
	if err := ada.Refuse(within(t), eve.Device()); err != nil || len(ada.Asking()) != 0 {
		t.Errorf("%v, asking %+v", err, ada.Asking())
	}
	if _, err := eve.SyncWith(within(t), meeting(t, ada)); !errors.Is(err, exchange.ErrKeptOut) {
		t.Errorf("kept out: %v", err)
	}
	if err := ada.Admit(within(t), eve.Device(), entry.ID{}, entry.Owner); err == nil {
		t.Error("she has more than Ben, whose device it is said to be")
	}
	if err := ada.Admit(within(t), eve.Device(), ben.Person(), entry.Helper); err != nil {
		t.Fatal(err)
	}
	if stands, role := standing(t, ada, eve.Device()); !stands || role != entry.Helper || counted(ada)["mine"] != 1 {
		t.Errorf("let in: stands %v as %v", stands, role)
	}
}

// A server whose farm wants no porter lets nobody in: the joiner waits there
// until the owner's device has exchanged, and then gets all at once.
func TestAServerThatIsNoPorter(t *testing.T) {
	h := newHouse(t)
	ada := open(t, t.TempDir())
	f, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: h.FoundingAddress(), NoPorter: true})
	if err != nil || f.Away != nil || f.Porter {
		t.Fatalf("%+v, %v", f, err)
	}
	ben := open(t, t.TempDir())
	j, err := ben.Join(within(t), inviteAndSync(t, ada, "Ben"), "phone")
	if err != nil || j.Away != nil || !j.Waits {
		t.Fatalf("%+v, %v", j, err)
	}
	note(t, ben, "at work already")
	if res := sync(t, ben); !res.Waits || res.Received != 0 || ben.Pending() != 0 {
		t.Errorf("before: %+v, %d pending", res, ben.Pending())
	}
	if res := sync(t, ada); len(res.Admitted) != 1 {
		t.Errorf("Ada's exchange lets in %v", res.Admitted)
	}
	if res := sync(t, ben); res.Waits || res.RoundTrips != 1 {
		t.Errorf("after: %+v", res)
	}
	sameEverywhere(t, ada, ben)
	if counted(ada)["at work already"] != 1 {
		t.Error("what he wrote while he waited does not count")
	}
}

// With a porter the record is there at once.
func TestAServerThatIsPorter(t *testing.T) {
	h := newHouse(t)
	ada := open(t, t.TempDir())
	f, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: h.FoundingAddress()})
	if err != nil || f.Away != nil || !f.Porter {
		t.Fatalf("%+v, %v", f, err)
	}
	ben := open(t, t.TempDir())
	j, err := ben.Join(within(t), inviteAndSync(t, ada, "Ben"), "phone")
	if err != nil || j.Away != nil || j.Waits || j.PersonID.IsZero() {
		t.Fatalf("%+v, %v", j, err)
	}
	sync(t, ada)
	sameEverywhere(t, ada, ben)
}

// A server that knows nothing of a farm is told of it by whichever of its
// devices has a code: by one that another let in, too, and with a stopped device
// among those before it.
func TestAFarmIsIntroducedToANewServer(t *testing.T) {
	ada := found(t, "")
	mal := joinMet(t, ada, "Mal", entry.Helper)
	bea := joinMet(t, ada, "Bea", entry.Owner)
	note(t, mal, "before the stop")
	syncWith(t, mal, meeting(t, ada))
	if _, err := ada.Stop(within(t), client.Stopping{Device: mal.Device(), Why: "lost"}); err != nil {
		t.Fatal(err)
	}
	syncWith(t, bea, meeting(t, ada))
	cleo := joinMet(t, bea, "Cleo", entry.Helper)
	note(t, cleo, "hello")
	h := newHouse(t)
	if _, err := cleo.At(within(t), h.FoundingAddress(), client.AtOptions{}); err != nil {
		t.Fatal(err)
	}
	farms, err := h.Server.Farms()
	if err != nil || len(farms) != 1 || farms[0].Digest != cleo.Digest().Sum {
		t.Errorf("the server holds %+v (%v)", farms, err)
	}
}

// The code on paper lets a new device in at the farm's server.
func TestTheCodeOnPaperAtAServer(t *testing.T) {
	h := newHouse(t)
	ada := open(t, t.TempDir())
	f, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: h.FoundingAddress()})
	if err != nil {
		t.Fatal(err)
	}
	other, err := open(t, t.TempDir()).Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Eve", At: h.FoundingAddress()})
	if err != nil {
		t.Fatal(err)
	}
	wrong := strings.Replace(f.Paper, paperSecret(t, f.Paper), paperSecret(t, other.Paper), 1)
	again := open(t, t.TempDir())
	if _, err := again.Recover(within(t), wrong, "new phone"); !errors.Is(err, exchange.ErrProof) || again.Farm != nil {
		t.Errorf("another farm's code: %v, and something is left behind: %v", err, again.Farm != nil)
	}
	r, err := again.Recover(within(t), f.Paper, "new phone")
	if err != nil || r.Away != nil {
		t.Fatalf("%+v, %v", r, err)
	}
	sync(t, ada)
	sameEverywhere(t, ada, again)
	if _, err := again.Stop(within(t), client.Stopping{Device: ada.Device(), Why: "stolen"}); err != nil {
		t.Fatal(err)
	}
	sync(t, again)
	if _, err := ada.Sync(within(t)); !errors.Is(err, exchange.ErrStopped) {
		t.Errorf("the stolen phone: %v", err)
	}
	if _, err := again.Recover(within(t), r.Paper, "the same again"); err != nil { // a home that has the record takes a new identity
		t.Errorf("the next code: %v", err)
	}
}

func paperSecret(t *testing.T, code string) string {
	t.Helper()
	_, after, ok := strings.Cut(code, "paper=")
	if !ok {
		t.Fatal("a code without a secret")
	}
	return strings.Split(after, "&")[0]
}

// A recovery that fails on a home that belongs gives its identity back: it goes
// on writing, exchanging, and letting in who asks.
func TestARecoveryThatFailsGivesTheIdentityBack(t *testing.T) {
	h := newHouse(t)
	ada := open(t, t.TempDir())
	f, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: h.FoundingAddress(), NoPorter: true})
	if err != nil {
		t.Fatal(err)
	}
	other, err := open(t, t.TempDir()).Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve"})
	if err != nil {
		t.Fatal(err)
	}
	me := ada.Device()
	wrong := strings.Replace(f.Paper, paperSecret(t, f.Paper), paperSecret(t, other.Paper), 1)
	if _, err := ada.Recover(within(t), wrong, "new phone"); !errors.Is(err, exchange.ErrProof) || ada.Device() != me {
		t.Fatalf("another farm's code: %v", err)
	}
	note(t, ada, "gate is open")
	ben := joinAway(t, inviteAndSync(t, ada, "Ben"))
	syncWith(t, ben, meeting(t, ada)) // who lets him in at once, as she is called
	if ben.Waits() || notes(t, ben)["gate is open"] != 1 {
		t.Error("nobody lets Ben in")
	}
}
