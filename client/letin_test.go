package client_test

import (
	"errors"
	"slices"
	"testing"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// standing is how a device stands, as a client's own record has it.
func standing(t *testing.T, c *client.Client, d entry.DeviceID) (stands bool, role entry.Role) {
	t.Helper()
	for _, v := range c.View().Devices {
		if v.ID == d {
			return v.Joined && !v.Stopped, v.Role
		}
	}
	return false, entry.NoRole
}

// counted says how often each note counts in a client's record.
func counted(c *client.Client) map[string]int {
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
	if len(asking) != 1 || asking[0].Enrolment.Device != eve.Device() || asking[0].Invite.Used != ben.Device() {
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
