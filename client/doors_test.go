package client_test

import (
	"bytes"
	"crypto/ed25519"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/client/transport"
	"turnrow/client/words"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
	"turnrow/sync/logstore/keyfile"
	"turnrow/sync/wire"
)

// doors is a farm with a server, an owner, an operator and a helper, and whoever
// lies to all of them: to the server over gRPC, to Ben where he meets others, to
// Cleo by a carry file.
type doors struct {
	t              *testing.T
	h              *house
	ada, ben, cleo *device
	mal            *forger // a viewer's device, and its key
	server, met    *transport.Conn
	bens           string
}

func newDoors(t *testing.T) *doors {
	h := newHouse(t)
	d := &doors{t: t, h: h, ada: found(t, h.FoundingAddress())}
	d.ben, d.cleo = join(t, d.ada, "Ben", entry.Operator), join(t, d.ada, "Cleo", entry.Helper)
	mal := d.forger("Mal", entry.Viewer)
	d.mal = mal
	d.level()
	mal.follow()
	d.bens = meeting(t, d.ben)
	d.server, d.met = calling(t, mal.c, mal.key, h.Listen), calling(t, mal.c, mal.key, d.bens)
	return d
}

func (d *doors) crew() []*device { return []*device{d.ada, d.ben, d.cleo} }

// level brings all of the crew level by the server.
func (d *doors) level() {
	d.t.Helper()
	for range 2 {
		for _, c := range d.crew() {
			sync(d.t, c)
		}
	}
}

// bring shows runs at each of the doors.
func (d *doors) bring(runs ...entry.Run) {
	d.t.Helper()
	d.bringTo("server", runs...)
	d.bringTo("meet", runs...)
	d.bringTo("carry", runs...)
}

func (d *doors) bringTo(door string, runs ...entry.Run) {
	d.t.Helper()
	req := exchange.Request{Farm: d.ada.ID(), Runs: runs, MaxBytes: 1}
	var refused []exchange.Refusal
	var err error
	switch door {
	case "server", "meet":
		conn := d.server
		if door == "meet" {
			conn = d.met
		}
		var resp exchange.Response
		resp, err = conn.Exchange(within(d.t), req)
		refused = resp.Refusals
	default:
		var done client.Carried
		done, err = d.cleo.CarryIn(reader(d.file(runs...)))
		refused = done.Refused
	}
	if err != nil || len(refused) > 0 {
		d.t.Fatalf("%s: %v, refused %v", door, err, refused)
	}
}

// file is a carry file of some runs.
func (d *doors) file(runs ...entry.Run) []byte {
	d.t.Helper()
	var b bytes.Buffer
	out, err := wire.NewCarryWriter(&b, wire.CarryHeader{Farm: d.ada.ID(), Device: d.mal.c.Device()})
	for i := range runs {
		err = errors.Join(err, out.Run(&runs[i]))
	}
	if err := errors.Join(err, out.Close()); err != nil {
		d.t.Fatal(err)
	}
	return b.Bytes()
}

// goesOn fails unless each of the crew writes, exchanges, and all come to one
// state, in which what they wrote counts.
func (d *doors) goesOn(text string) {
	d.t.Helper()
	for i, c := range d.crew() {
		note(d.t, c, fmt.Sprint(text, i))
	}
	d.level()
	sameEverywhere(d.t, d.crew()...)
	farms, err := d.h.Server.Farms()
	if err != nil || len(farms) != 1 || farms[0].Digest != d.ada.Digest().Sum {
		d.t.Errorf("the server holds %+v (%v)", farms, err)
	}
	for i := range d.crew() {
		if got := counted(d.cleo)[fmt.Sprint(text, i)]; got != 1 {
			d.t.Errorf("%s%d counts %d times", text, i, got)
		}
	}
}

// ready says whether the farm's one drill is, as each of the crew has it.
func (d *doors) ready(want bool, when string) {
	d.t.Helper()
	for i, c := range d.crew() {
		if h := c.View().Drills[0].Hitch; h.Ready != want {
			d.t.Errorf("%s: ready %v at replica %d, missing %v, holds %v", when, h.Ready, i, h.Missing, h.Holds)
		}
	}
}

// hitched has the owner set up a drill, and Ben hitch it; it gives both and the
// list's only check is left to sign.
func (d *doors) hitched() (drill, hitch entry.ID) {
	d.t.Helper()
	ids, err := d.ada.Record(within(d.t), entry.ID{}, &entry.DrillSet{Name: entry.Some("drill")},
		&entry.ChecksSet{Version: 1, Items: []entry.CheckItem{{Name: "pin", Required: true}}})
	if err != nil {
		d.t.Fatal(err)
	}
	d.level()
	begun, err := d.ben.Record(within(d.t), entry.ID{}, &entry.HitchBegun{Checks: ids[1], Drill: ids[0]})
	if err != nil {
		d.t.Fatal(err)
	}
	d.level()
	return ids[0], begun[0]
}

func (d *doors) signed(hitch entry.ID) {
	d.t.Helper()
	if _, err := d.ben.Record(within(d.t), entry.ID{}, &entry.ItemSigned{Hitch: hitch, Item: 1}); err != nil {
		d.t.Fatal(err)
	}
	d.level()
}

// forger writes a device's log as its program would not.
type forger struct {
	t    *testing.T
	c    *device // the honest device that it was; nil where none was
	key  ed25519.PrivateKey
	head chain.Head
}

// forger joins a person at the server, whose key the test has.
func (d *doors) forger(person string, role entry.Role) *forger {
	d.t.Helper()
	home := d.t.TempDir()
	c := open(d.t, home)
	text := invited(d.t, d.ada, person, role)
	sync(d.t, d.ada)
	if j, err := c.Join(within(d.t), text, person+"'s phone"); err != nil || j.Away != nil {
		d.t.Fatal(err, j.Away)
	}
	sync(d.t, d.ada)
	sync(d.t, c)
	device, key, err := keyfile.Device(filepath.Join(home, "device.pem"))
	if err != nil || device != c.Device() {
		d.t.Fatal(device, err)
	}
	f := &forger{t: d.t, c: c, key: key}
	f.follow()
	return f
}

// enrolled is a device that nobody has heard of, on an invite's secret.
func (d *doors) enrolled(n byte, invite ed25519.PrivateKey, clock hlc.Time) (*forger, entry.Run) {
	key := ed25519.NewKeyFromSeed(bytes.Repeat([]byte{n}, ed25519.SeedSize))
	f := &forger{t: d.t, key: key}
	f.head = chain.Start(d.ada.ID(), entry.DeviceID{0: 1, 6: 0x70, 8: 0x80, 15: n}, publicOf(key))
	return f, f.write(entry.Draft{Clock: clock, Body: &entry.DeviceEnrolled{
		Invite: publicOf(invite), Key: f.head.Key, Name: "found on the road",
		Proof: entry.Countersign(invite, f.head.Farm, f.head.Log.Device(), f.head.Key),
	}})
}

func publicOf(k ed25519.PrivateKey) entry.Key { return entry.Key(k.Public().(ed25519.PublicKey)) }

// follow goes on from where the device's own program left the log.
func (f *forger) follow() {
	f.t.Helper()
	f.head = chain.Start(f.c.ID(), f.c.Device(), publicOf(f.key))
	for run, err := range f.c.Runs() {
		if err == nil && run.Device.Log() == f.head.Log {
			_, f.head, _, err = wire.Open(f.head, run, nil)
		}
		if err != nil {
			f.t.Fatal(err)
		}
	}
}

// branch is a forger that goes on from the same entry.
func (f *forger) branch() *forger {
	b := *f
	b.head = f.head.Clone()
	return &b
}

// write gives the next entries of the log, signed. A clock of 0 follows the last.
func (f *forger) write(drafts ...entry.Draft) entry.Run {
	f.t.Helper()
	run := entry.Run{Device: f.head.Log.Device(), First: f.head.Seq + 1}
	for _, d := range drafts {
		if d.Clock == 0 {
			d.Clock = f.head.Clock + 1<<16
		}
		raw, err := wire.Encode(&f.head, d)
		if err != nil {
			f.t.Fatal(err)
		}
		f.head.Advance(raw)
		run.Entries = append(run.Entries, raw)
	}
	run.Sig = entry.Sign(f.key, f.head.Hash)
	return run
}

func (f *forger) next(i int) entry.ID {
	return entry.ID{Log: f.head.Log, Seq: f.head.Seq + 1 + uint64(i)}
}

// An entry with the largest clock there is, brought in at each door, uses nothing
// up: all write on, and what is written knowing of it comes after it. Whoever
// joins then is let in.
func TestTheLargestClockAtTheDoors(t *testing.T) {
	d := newDoors(t)
	lie := d.mal.write(entry.Draft{Clock: ^hlc.Time(0), Wall: time.Now().UnixMilli(), Body: &entry.Noted{Text: "the end"}})
	d.bring(lie)
	d.goesOn("on")
	var order []string
	for _, l := range d.ada.Lines() {
		if b, ok := l.Body.(*entry.Noted); ok {
			order = append(order, b.Text)
		}
	}
	if at := slices.Index(order, "the end"); at < 0 || at > slices.Index(order, "on1") || at > slices.Index(order, "on2") {
		t.Errorf("what Ben and Cleo wrote knowing of it comes before it: %v", order)
	}
	join(t, d.ada, "Dan", entry.Helper)
	// And once more: nothing is used up by what they wrote after it.
	d.bring(d.mal.write(entry.Draft{Clock: ^hlc.Time(0), Body: &entry.Noted{Text: "again"}}))
	d.goesOn("and on")
}

// An entry that says that it has seen what is not there, brought in at each door,
// stops READY until an owner stops its device, and nothing else.
func TestSeenOfWhatIsNotThereAtTheDoors(t *testing.T) {
	d := newDoors(t)
	_, hitch := d.hitched()
	d.signed(hitch)
	d.ready(true, "before")
	d.mal.follow()
	ghost := entry.Mark{Log: d.ada.Device().Log(), Seq: 1 << 40, Hash: entry.Brief{1, 2, 3}}
	d.bring(d.mal.write(entry.Draft{Seen: []entry.Mark{ghost}, Body: &entry.Noted{Text: "I saw it"}}))
	d.goesOn("on")
	d.ready(false, "while it waits")
	if _, err := d.ben.Stop(within(t), client.Stopping{Device: d.mal.c.Device()}); !errors.Is(err, client.ErrOwner) {
		t.Errorf("an operator stops it: %v", err)
	}
	if _, err := d.ada.Stop(within(t), client.Stopping{Device: d.mal.c.Device(), Why: "it lies"}); err != nil {
		t.Fatal(err)
	}
	d.level()
	d.ready(true, "after the owner's stop")
	d.goesOn("and on")
	d.ready(true, "and then")
}

// The honest twin: an entry comes before what it has seen, by a carry file of one
// log alone. It waits, and READY with it, until that comes too.
func TestAnEntryAheadOfItsCausesAtTheDoors(t *testing.T) {
	d := newDoors(t)
	_, hitch := d.hitched()
	d.signed(hitch)
	note(t, d.ada, "the cause")
	syncWith(t, d.ada, d.bens)
	note(t, d.ben, "seen the cause")
	if _, err := d.cleo.CarryIn(reader(carryOf(t, d.ben, d.ben.Device()))); err != nil {
		t.Fatal(err)
	}
	if h := d.cleo.View().Drills[0].Hitch; h.Ready || counted(d.cleo)["seen the cause"] != 0 {
		t.Error("an entry counts, or READY shows, before its cause is here")
	}
	if _, err := d.cleo.CarryIn(reader(carryOf(t, d.ada, d.ada.Device()))); err != nil {
		t.Fatal(err)
	}
	if h := d.cleo.View().Drills[0].Hitch; !h.Ready || counted(d.cleo)["seen the cause"] != 1 {
		t.Errorf("once the cause is here: ready %v, missing %v", h.Ready, h.Missing)
	}
}

// A stolen owner's phone was stopped. The thief has its key, and any member to
// carry for him: an invite written apart from the stop, a new device let in on it,
// and clocks of 1 all over, which stops the founder. Nobody enters, nobody leaves.
func TestAStoppedOwnersPhoneAtTheDoors(t *testing.T) {
	d := newDoors(t)
	stolen := d.forger("Olga", entry.Owner)
	d.level()
	stolen.follow()
	before := stolen.branch()
	if _, err := d.ada.Stop(within(t), client.Stopping{Device: stolen.c.Device(), Why: "stolen"}); err != nil {
		t.Fatal(err)
	}
	d.level()
	if _, err := calling(t, stolen.c, stolen.key, d.h.Listen).Exchange(within(t), exchange.Request{Farm: d.ada.ID()}); !errors.Is(err, exchange.ErrStopped) {
		t.Errorf("the stolen phone itself: %v", err)
	}

	invite := ed25519.NewKeyFromSeed(bytes.Repeat([]byte{77}, ed25519.SeedSize))
	thief, enrolment := d.enrolled(78, invite, 1)
	person := before.next(0)
	acts := before.write(
		entry.Draft{Clock: before.head.Clock + 1, Body: &entry.MemberAdded{Name: "Thief", Role: entry.Owner}},
		entry.Draft{Body: &entry.Invited{Person: person, Key: publicOf(invite), Expires: time.Now().Add(time.Hour).UnixMilli()}},
		entry.Draft{Body: &entry.Admitted{Device: thief.head.Log.Device(), Hash: thief.head.Mark().Hash, Person: person, Role: entry.Owner}},
		entry.Draft{Body: &entry.DeviceStopped{Last: entry.Mark{Log: d.ada.Device().Log()}, Why: "mine"}},
	)
	stop := thief.write(
		entry.Draft{Clock: 1, Seen: []entry.Mark{before.head.Mark()}, Body: &entry.DeviceStopped{Last: entry.Mark{Log: d.ada.Device().Log()}, Why: "mine"}},
		entry.Draft{Clock: 1, Body: &entry.Noted{Text: "mine now"}},
	)
	d.bring(acts, enrolment, stop)
	d.goesOn("on")
	for i, c := range d.crew() {
		if stands, role := standing(t, c, d.ada.Device()); !stands || role != entry.Owner {
			t.Errorf("replica %d: the founder stands %v as %v", i, stands, role)
		}
		for name, id := range map[string]entry.DeviceID{"the thief": thief.head.Log.Device(), "the stolen phone": stolen.c.Device()} {
			if stands, _ := standing(t, c, id); stands {
				t.Errorf("replica %d: %s belongs", i, name)
			}
		}
		if counted(c)["mine now"] != 0 {
			t.Errorf("replica %d: the thief's note counts", i)
		}
	}
	join(t, d.ada, "Dan", entry.Helper)
}

// A helper's device signs checks and releases a hold in the owner's name, sent by
// each door: it counts for nothing. An operator's may, and the line says on
// whose device.
func TestSignedInAnothersNameAtTheDoors(t *testing.T) {
	d := newDoors(t)
	drill, hitch := d.hitched()
	held, err := d.ben.Record(within(t), entry.ID{}, &entry.HoldRaised{Drill: drill, Why: "a pin is missing"})
	if err != nil {
		t.Fatal(err)
	}
	d.level()
	owner := d.ada.Person()
	acts := func(c *device) []entry.ID {
		ids, err := c.Record(within(t), owner, &entry.ItemSigned{Hitch: hitch, Item: 1},
			&entry.HoldReleased{Drill: drill, Holds: []entry.ID{held[0]}, Why: "found it"})
		if err != nil {
			t.Fatal(err)
		}
		return ids
	}
	void := acts(d.cleo)
	syncWith(t, d.cleo, d.bens)
	if _, err := d.ada.CarryIn(reader(carryOut(t, d.cleo))); err != nil {
		t.Fatal(err)
	}
	d.level()
	d.ready(false, "signed by a helper's device in the owner's name")
	for _, id := range void {
		if l, ok := d.ada.Line(id); !ok || l.LeftOut == "" || l.On.Device != "Cleo's phone" {
			t.Errorf("%+v", l)
		}
	}
	ids := acts(d.ben)
	d.level()
	d.ready(true, "signed by an operator's device")
	if l, ok := d.ada.Line(ids[0]); !ok || l.By != "Ada" || l.On.Device != "Ben's phone" {
		t.Errorf("the line names no device: %+v", l)
	}
	d.goesOn("on")
}

// A device writes 24 branches of its log, and shows them to each in another
// order: all come to one state, what honest devices wrote since counts, and the
// owner ends it.
func TestTwentyFourBranchesAtTheDoors(t *testing.T) {
	d := newDoors(t)
	var runs []entry.Run
	for i := range 24 {
		runs = append(runs, d.mal.branch().write(entry.Draft{Body: &entry.Noted{Text: fmt.Sprint("branch ", i)}}))
	}
	show := func(door string, order []entry.Run) {
		for _, r := range order {
			switch door {
			case "server":
				_, _ = d.server.Exchange(within(t), exchange.Request{Farm: d.ada.ID(), Runs: []entry.Run{r}, MaxBytes: 1})
			case "meet":
				_, _ = d.met.Exchange(within(t), exchange.Request{Farm: d.ada.ID(), Runs: []entry.Run{r}, MaxBytes: 1})
			default:
				if _, err := d.cleo.CarryIn(reader(d.file(r))); err != nil {
					t.Error(err)
				}
			}
		}
	}
	show("server", runs)
	slices.Reverse(runs)
	show("meet", runs)
	note(t, d.ben, "of a branch")
	show("carry", append(slices.Clone(runs[9:]), runs[:9]...))
	note(t, d.cleo, "of another branch")
	d.level()
	d.goesOn("on")
	for i, c := range d.crew() {
		if n := counted(c); n["of a branch"] != 1 || n["of another branch"] != 1 {
			t.Errorf("replica %d: honest notes wait: %v", i, n)
		}
		if !slices.ContainsFunc(slices.Collect(words.Doubts(c.View())), func(x words.Doubt) bool { return x.Kind == farm.Forked }) {
			t.Errorf("replica %d: nobody is told", i)
		}
	}
	if _, err := d.ada.Stop(within(t), client.Stopping{Device: d.mal.c.Device(), Why: "it forks"}); err != nil {
		t.Fatal(err)
	}
	d.level()
	show("carry", []entry.Run{d.mal.branch().write(entry.Draft{Body: &entry.Noted{Text: "branch 25"}})})
	d.goesOn("and on")
	if counted(d.cleo)["branch 25"] != 0 {
		t.Error("what is shown after the stop counts")
	}
}
