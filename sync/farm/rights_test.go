package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// trial is a farm on which one entry is tried: somebody's, of some role.
type trial struct {
	*crew
	who         *phone
	own, others entry.ID  // notes that who wrote, and the owner
	invite      entry.Key // of a person
	another     entry.ID  // that person
	hitch, hold entry.ID  // that stand
	stopped     entry.ID  // the last entry of a device that was stopped
}

// right is what a kind of entry asks of whoever writes it.
type right struct {
	name string // beyond its kind's, where a kind has several rows
	kind entry.Kind
	role entry.Role // the weakest that may; NoRole is anyone, a stopped member too
	none bool       // nobody may, whatever the role
	body func(*trial) entry.Body
}

// rights is who may do what: every kind of entry.
var rights = []right{
	{kind: entry.KindFilled, role: entry.Helper, body: func(t *trial) entry.Body { return &entry.Filled{Box: t.grain, Lot: t.oat, Mass: 1e9} }},
	{kind: entry.KindDrained, role: entry.Helper, body: func(t *trial) entry.Body { return &entry.Drained{Box: t.grain, Mass: 1e6} }},
	{kind: entry.KindLevelRead, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.LevelRead{Box: t.grain, Mass: entry.Some(units.Mass(1e6))}
	}},
	{kind: entry.KindMeterRead, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.MeterRead{Drill: t.drill, Ground: t.bench, Reading: 1000}
	}},
	{kind: entry.KindBagsIn, role: entry.Helper, body: func(t *trial) entry.Body { return &entry.BagsIn{Lot: t.oat, Bags: 1000} }},
	{kind: entry.KindBagsOut, role: entry.Helper, body: func(t *trial) entry.Body { return &entry.BagsOut{Lot: t.oat, Bags: 1000} }},
	{kind: entry.KindNoted, role: entry.Helper, body: func(*trial) entry.Body { return &entry.Noted{Text: "gate open"} }},
	{kind: entry.KindStandCounted, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.StandCounted{Ground: t.bench, Frame: 1e5, Counts: []entry.SpeciesCount{{Plants: []int64{18, 22}}}, Day: 20_000}
	}},
	{kind: entry.KindCaught, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.Caught{Box: t.grain, Lot: t.oat, Dial: 30_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{1e5}}
	}},
	{kind: entry.KindHoldRaised, role: entry.NoRole, body: func(t *trial) entry.Body { return &entry.HoldRaised{Drill: t.drill, Why: "hose leaks"} }},

	{kind: entry.KindDialMoved, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.DialMoved{Box: t.grain, To: 40_000, Why: "catch was low"}
	}},
	{kind: entry.KindItemSigned, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.ItemSigned{Hitch: t.hitch, Item: 1}
	}},
	{kind: entry.KindHoldReleased, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.HoldReleased{Drill: t.drill, Holds: []entry.ID{t.hold}, Why: "hose is new"}
	}},
	{kind: entry.KindHoldSeen, role: entry.Viewer, body: func(t *trial) entry.Body { return &entry.HoldSeen{Holds: []entry.ID{t.hold}} }},
	{kind: entry.KindHitchBegun, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.HitchBegun{Drill: t.drill, Checks: t.checks, Tractor: "the old one"}
	}},
	{kind: entry.KindDrillMoved, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.DrillMoved{Drill: t.drill, State: entry.InField}
	}},
	{kind: entry.KindUnhitched, role: entry.Operator, body: func(t *trial) entry.Body { return &entry.Unhitched{Drill: t.drill} }},
	{kind: entry.KindPlanSet, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.PlanSet{Ground: t.bench, Components: []entry.Component{{Lot: t.oat, Box: t.grain, Live: 1e6}}}
	}},
	{kind: entry.KindGroundSet, role: entry.Operator, body: func(*trial) entry.Body { return &entry.GroundSet{Name: entry.Some("far end")} }},
	{kind: entry.KindDrillSet, role: entry.Operator, body: func(*trial) entry.Body { return &entry.DrillSet{Name: entry.Some("neighbour's")} }},
	{kind: entry.KindBoxSet, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.BoxSet{Drill: t.drill, Name: entry.Some("legume")}
	}},
	{kind: entry.KindChartPointSet, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.ChartPointSet{Box: t.grain, Species: "oat", Dial: 80_000, Rate: 1e6}
	}},
	{kind: entry.KindLotSet, role: entry.Operator, body: func(*trial) entry.Body {
		return &entry.LotSet{Name: entry.Some("C-2"), Species: entry.Some("red clover")}
	}},
	{kind: entry.KindDialMarked, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.DialMarked{Box: t.grain, Marks: []string{"A", "B"}}
	}},
	{kind: entry.KindLabelSet, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.LabelSet{Lot: t.oat, Lines: []entry.LabelLine{{Species: "oat", Share: entry.Some(units.Share(97_000))}}}
	}},
	{kind: entry.KindChecksSet, role: entry.Operator, body: func(*trial) entry.Body {
		return &entry.ChecksSet{Version: 2, Items: []entry.CheckItem{{Name: "hoses tied clear", Required: true}}}
	}},
	{kind: entry.KindCounterReset, role: entry.Operator, body: func(t *trial) entry.Body { return &entry.CounterReset{Drill: t.drill} }},

	{kind: entry.KindCounterStood, role: entry.Helper, body: func(t *trial) entry.Body { return &entry.CounterStood{Drill: t.drill, Reading: 500} }},
	{kind: entry.KindGroundFinished, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.GroundFinished{Ground: t.bench, Drill: t.drill, Finished: true}
	}},
	{kind: entry.KindVolumeWeighed, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.VolumeWeighed{Lot: t.oat, Volume: 1000, Mass: 500_000}
	}},
	{kind: entry.KindVolumeFilled, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.VolumeFilled{Box: t.grain, Lot: t.oat, Volume: 4000}
	}},
	{kind: entry.KindPinned, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.Pinned{Ground: t.bench, What: entry.PinnedStone}
	}},
	{name: "gone, of no spot", kind: entry.KindPinned, role: entry.Helper, none: true, body: func(t *trial) entry.Body {
		return &entry.Pinned{Of: t.others, Gone: true}
	}},
	{name: "there, of no errand", kind: entry.KindErrand, role: entry.Helper, none: true, body: func(t *trial) entry.Body {
		return &entry.Errand{Of: t.others, State: entry.ErrandThere}
	}},
	{kind: entry.KindErrand, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.Errand{State: entry.ErrandWanted, Lot: t.oat, Bags: 2000, Box: t.grain}
	}},
	{name: "own words", kind: entry.KindAmended, role: entry.Helper, body: func(t *trial) entry.Body {
		return &entry.Amended{Entry: t.own, Why: "slip", Body: &entry.Noted{Text: "gate shut"}}
	}},
	{name: "another's words", kind: entry.KindAmended, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.Amended{Entry: t.others, Why: "slip", Body: &entry.Noted{Text: "gate shut"}}
	}},
	{name: "own words", kind: entry.KindStruck, role: entry.Helper, body: func(t *trial) entry.Body { return &entry.Struck{Entry: t.own, Why: "slip"} }},
	{name: "another's words", kind: entry.KindStruck, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.Struck{Entry: t.others, Why: "slip"}
	}},
	{name: "a hold", kind: entry.KindStruck, role: entry.Operator, none: true, body: func(t *trial) entry.Body {
		return &entry.Struck{Entry: t.hold, Why: "in the way"}
	}},
	{name: "of the work", kind: entry.KindSettled, role: entry.Operator, body: func(t *trial) entry.Body {
		return &entry.Settled{Doubt: string(farm.DoubleEntry), Entries: []entry.ID{t.own, t.others}, Stands: []entry.ID{t.own}, Why: "asked"}
	}},
	{name: "of the crew", kind: entry.KindSettled, role: entry.Owner, body: func(t *trial) entry.Body {
		one, other := t.person(t.op), t.person(t.help)
		return &entry.Settled{Doubt: string(farm.TwoPlans), Entries: []entry.ID{one, other}, Stands: []entry.ID{one}, Why: "asked"}
	}},
	{name: "of one invite", kind: entry.KindSettled, role: entry.Owner, body: func(t *trial) entry.Body {
		return &entry.Settled{Doubt: string(farm.OneInvite), Entries: []entry.ID{t.person(t.op), t.person(t.help)}, Why: "both are Ben's"}
	}},

	{kind: entry.KindInvited, role: entry.Owner, body: func(t *trial) entry.Body {
		k, _ := key(99)
		return &entry.Invited{Person: t.another, Key: k, Expires: *t.crew.own.wall + 1e8}
	}},
	{kind: entry.KindMemberAdded, role: entry.Owner, body: func(*trial) entry.Body { return &entry.MemberAdded{Name: "Dov", Role: entry.Helper} }},
	{kind: entry.KindMemberChanged, role: entry.Owner, body: func(t *trial) entry.Body {
		return &entry.MemberChanged{Member: t.another, Role: entry.Operator}
	}},
	{kind: entry.KindMemberStopped, role: entry.Owner, body: func(t *trial) entry.Body { return &entry.MemberStopped{Member: t.another, Why: "left"} }},
	{kind: entry.KindDeviceStopped, role: entry.Owner, body: func(t *trial) entry.Body {
		return &entry.DeviceStopped{Last: t.crew.own.markOf(entry.ID{Log: t.op.head.Log, Seq: 1}), Why: "lost"}
	}},
	{kind: entry.KindDeviceTakenIn, role: entry.Owner, body: func(t *trial) entry.Body {
		return &entry.DeviceTakenIn{Last: t.crew.own.markOf(t.stopped), Why: "found"}
	}},
	{kind: entry.KindAdmitted, role: entry.Owner, body: func(t *trial) entry.Body {
		return &entry.Admitted{Device: entry.DeviceID{0: 1, 15: 77}, Hash: entry.Brief{1}, Person: t.another, Role: entry.Helper}
	}},
	{name: "again", kind: entry.KindRecovered, none: true, body: func(*trial) entry.Body {
		k, _ := key(77)
		return &entry.Recovered{Key: k, Next: k}
	}},
	{name: "again", kind: entry.KindFarmFounded, none: true, body: func(*trial) entry.Body {
		k, _ := key(77)
		return &entry.FarmFounded{Name: "Mine", Owner: "Me", Key: k, Paper: k}
	}},
	{name: "again", kind: entry.KindDeviceEnrolled, none: true, body: func(t *trial) entry.Body {
		k, _ := key(77)
		return &entry.DeviceEnrolled{Invite: t.invite, Key: k, Name: "second"}
	}},
}

// The reasons that the audit gives for what is left out.
const (
	noRight   message.ID = "left-out.no-right"
	noForce   message.ID = "left-out.no-force"
	afterStop message.ID = "left-out.stopped"
	notJoined message.ID = "left-out.not-joined"
)

// writers is who tries: people of each role, and those who have none.
var writers = []struct {
	name    string
	role    entry.Role
	become  func(*trial) // what happens before they write
	instead message.ID   // what comes of every entry, instead of what the role would give
}{
	{name: "owner", role: entry.Owner},
	{name: "operator", role: entry.Operator},
	{name: "helper", role: entry.Helper},
	{name: "viewer", role: entry.Viewer},
	{name: "viewer on the owner's tablet", role: entry.Viewer, become: func(t *trial) {
		t.crew.own.by = t.person(t.who)
		t.own, t.who = t.crew.own.write(&entry.Noted{Text: "here"}), t.crew.own
	}},
	{name: "owner on a viewer's phone", role: entry.Viewer, become: func(t *trial) {
		t.who.by = t.person(t.crew.own)
		t.own = t.who.write(&entry.Noted{Text: "here"})
	}},
	{name: "stopped member's device", role: entry.Operator, become: func(t *trial) {
		t.crew.own.write(&entry.MemberStopped{Member: t.person(t.who), Why: "left"})
	}, instead: afterStop},
	{name: "stopped member on the owner's tablet", role: entry.NoRole, become: func(t *trial) {
		person := t.person(t.who)
		t.crew.own.write(&entry.MemberStopped{Member: person, Why: "left"})
		t.crew.own.by = person
		t.own, t.who = t.crew.own.write(&entry.Noted{Text: "here"}), t.crew.own
	}},
	{name: "stopped device", role: entry.Operator, become: func(t *trial) {
		t.crew.own.write(&entry.DeviceStopped{Last: t.crew.own.markOf(t.own), Why: "lost in the brook"})
	}, instead: afterStop},
	{name: "stranger", role: entry.Operator, become: func(t *trial) {
		p := newPhone(t.who.t, 66, t.who.head.Farm, t.who.wall)
		k, _ := key(66)
		p.writeSeen(&entry.DeviceEnrolled{Invite: t.invite, Key: k, Name: "found on the road"}) // without the invite's signature
		meet(p, t.crew.own)
		t.who, t.own = p, p.write(&entry.Noted{Text: "hello"})
	}, instead: notJoined},
}

func (c *crew) person(p *phone) entry.ID {
	d, ok := c.own.state.Device(p.head.Log.Device())
	if !ok {
		p.t.Fatal("the device is not known")
	}
	return d.Person
}

func newTrial(t *testing.T, role entry.Role) *trial {
	tr := &trial{crew: setUp(t)}
	own := tr.crew.own
	tr.hitch = own.write(&entry.HitchBegun{Drill: tr.drill, Checks: tr.checks})
	tr.hold = own.write(&entry.HoldRaised{Drill: tr.drill, Why: "guard is off"})
	tr.others = own.write(&entry.Noted{Text: "gate open"})
	tr.another = own.write(&entry.MemberAdded{Name: "Fay", Role: entry.Helper})
	k, _ := key(200)
	own.write(&entry.Invited{Person: tr.another, Key: k, Expires: *own.wall + 1e8})
	tr.invite = k
	tr.stopped = tr.help.write(&entry.Noted{Text: "last words"})
	meet(own, tr.help)
	own.write(&entry.DeviceStopped{Last: own.markOf(entry.ID{Log: tr.help.head.Log, Seq: 1}), Why: "lost"})
	tr.who = tr.join(own, 9, "Gil", max(role, entry.Viewer))
	tr.own = tr.who.write(&entry.Noted{Text: "here"})
	meet(own, tr.who)
	return tr
}

// want is what the audit says of an entry by somebody of a role: nothing where
// it counts.
func (r right) want(role entry.Role) message.ID {
	switch {
	case r.none && (r.kind == entry.KindFarmFounded || r.kind == entry.KindDeviceEnrolled || r.kind == entry.KindRecovered):
		return noForce // a log begins once, whoever writes it
	case role < r.role:
		return noRight
	case r.none:
		return noForce
	}
	return ""
}

// Who may write what: every kind of entry by everybody there is. What is left
// out is kept, and shown with its reason; nothing is left out silently.
func TestWhoMayWriteWhat(t *testing.T) {
	tried := map[entry.Kind]bool{}
	for _, r := range rights {
		tried[r.kind] = true
		for _, w := range writers {
			t.Run(r.kind.String()+" "+r.name+"/"+w.name, func(t *testing.T) {
				tr := newTrial(t, w.role)
				if w.become != nil {
					w.become(tr)
				}
				want := r.want(w.role)
				if w.instead != "" {
					want = w.instead
				}
				id := tr.who.write(r.body(tr))
				meet(tr.crew.own, tr.who)
				for _, p := range []*phone{tr.crew.own, tr.who} {
					if l, ok := p.state.Line(id); !ok || l.LeftOut != want {
						t.Errorf("on %s: left out because %q, want %q", p.head.Log, l.LeftOut, want)
					}
				}
				if tr.crew.own.state.Digest() != tr.who.state.Digest() {
					t.Error("the two differ")
				}
				shown(t, tr, id, want)
			})
		}
	}
	for k := range entry.Kinds() {
		if !tried[k] {
			t.Errorf("no row says who may write %q", k)
		}
	}
}

// shown wants a doubt about an entry that is left out, for an owner to see.
func shown(t *testing.T, tr *trial, id entry.ID, why message.ID) {
	t.Helper()
	if why == "" {
		return
	}
	if why == notJoined { // it waits to be let in
		for _, a := range tr.crew.own.state.Askers() {
			if a.Enrolment.Log == id.Log {
				return
			}
		}
	}
	for d := range tr.crew.own.state.View().Doubts() {
		for _, e := range d.Entries {
			if e == id && (d.Kind == farm.NoRight || d.Kind == farm.AfterStop) {
				return
			}
		}
	}
	t.Errorf("left out (%s), and no doubt tells of it", why)
}
