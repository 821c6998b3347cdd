package sheet_test

import (
	"crypto/ed25519"
	"slices"
	"testing"
	"time"

	"turnrow/client/sheet"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
	"turnrow/sync/units"
	"turnrow/sync/wire"
)

// tester is what a test of one run or of many has in common.
type tester interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

// crew is people at one place who see at once what each of them writes: real
// entries, chained, encoded and folded, on one clock that goes on a minute
// with each.
type crew struct {
	t     tester
	state *farm.State
	heads []*chain.Head
	keys  []ed25519.PrivateKey
	late  hlc.Time
	wall  time.Time
	runs  map[entry.DeviceID]*entry.Run
}

var zone = func() *time.Location {
	z, err := time.LoadLocation("America/New_York")
	if err != nil {
		panic(err)
	}
	return z
}()

func keyOf(n byte) ed25519.PrivateKey {
	return ed25519.NewKeyFromSeed(slices.Repeat([]byte{n}, ed25519.SeedSize))
}

func publicOf(k ed25519.PrivateKey) entry.Key { return entry.Key(k.Public().(ed25519.PublicKey)) }

func deviceOf(n byte) entry.DeviceID { return entry.DeviceID{0: 1, 6: 0x70, 8: 0x80, 15: n} }

// found starts a crew with its owner's device, which is number 0.
func found(t tester, at time.Time, metric bool) *crew {
	key := keyOf(1)
	farmID := entry.FoundedBy(deviceOf(1), publicOf(key))
	c := &crew{t: t, state: farm.New(farmID), wall: at, runs: map[entry.DeviceID]*entry.Run{}}
	c.device(1, key)
	c.write(0, &entry.FarmFounded{Name: "Quill Hollow", Owner: "Ada", Key: publicOf(key), DeviceName: "house",
		TimeZone: "America/New_York", Metric: metric, MoneySign: "$"})
	return c
}

// newCrew is an owner alone, in US units, on the morning of the story.
func newCrew(t tester) *crew { return found(t, time.Date(2026, 9, 14, 5, 40, 0, 0, zone), false) }

func (c *crew) device(n byte, key ed25519.PrivateKey) {
	head := chain.Start(c.farmID(), deviceOf(n), publicOf(key))
	c.heads, c.keys = append(c.heads, &head), append(c.keys, key)
	c.runs[head.Device] = &entry.Run{Device: head.Device, First: 1}
}

func (c *crew) farmID() entry.FarmID { return entry.FoundedBy(deviceOf(1), publicOf(keyOf(1))) }

// join adds a person with a device; their number is its place among devices.
func (c *crew) join(name string, role entry.Role) int {
	n := byte(len(c.heads) + 1)
	invite, key := keyOf(n+100), keyOf(n)
	person := c.write(0, &entry.MemberAdded{Name: name, Role: role})
	id := c.write(0, &entry.Invited{Person: person, Key: publicOf(invite), Expires: c.wall.Add(time.Hour).UnixMilli()})
	c.device(n, key)
	who := len(c.heads) - 1
	c.write(who, &entry.DeviceEnrolled{Invite: id, Key: publicOf(key), Name: name + "'s phone",
		Proof: entry.Countersign(invite, c.farmID(), deviceOf(n), publicOf(key))})
	return who
}

// write lets a person write an entry, a minute after the last, knowing all
// that was written before.
func (c *crew) write(who int, b entry.Body) entry.ID {
	c.t.Helper()
	head := c.heads[who]
	var seen []entry.ID
	for _, m := range c.state.Applied() {
		if i := head.Peer(m.Device); m.Device != head.Device && (i < 0 || head.Seen[i] < m.Seq) {
			seen = append(seen, entry.ID{Device: m.Device, Seq: m.Seq})
		}
	}
	return c.apart(who, b, seen...)
}

// apart lets a person write an entry without having seen what others wrote
// since that person's last, but for what is named.
func (c *crew) apart(who int, b entry.Body, seen ...entry.ID) entry.ID {
	c.t.Helper()
	if err := b.Check(); err != nil {
		c.t.Fatalf("%T: %v", b, err)
	}
	head := c.heads[who]
	c.wall = c.wall.Add(time.Minute)
	clock, err := hlc.Next(c.late, c.wall.UnixMilli())
	if err != nil {
		c.t.Fatal(err)
	}
	back := head.Clone()
	raw, err := wire.Encode(head, entry.Draft{Clock: clock, Wall: c.wall.UnixMilli(), Seen: seen, Body: b})
	if err != nil {
		c.t.Fatal(err)
	}
	e, err := wire.Decode(&back, raw)
	if err != nil {
		c.t.Fatal(err)
	}
	head.Advance(raw)
	c.late = clock
	run := c.runs[head.Device]
	run.Entries = append(run.Entries, raw)
	run.Sig = entry.Sign(c.keys[who], head.Hash)
	c.state.Apply(e)
	return e.ID
}

// at moves the clock on to an hour and minute of the same day, or of one so
// many days later.
func (c *crew) at(days, hour, minute int) {
	y, m, d := c.wall.In(zone).Date()
	c.wall = time.Date(y, m, d+days, hour, minute, 0, 0, zone)
}

func (c *crew) sheet(from, to string, system units.System) *sheet.Sheet {
	c.t.Helper()
	a, err1 := sheet.ParseDay(from)
	b, err2 := sheet.ParseDay(to)
	if err1 != nil || err2 != nil {
		c.t.Fatal(err1, err2)
	}
	return sheet.Of(c.state.View(), c.state.Lines(), sheet.Options{Span: sheet.Span{From: a, To: b}, Zone: zone, System: system,
		Made: time.Date(2026, 9, 16, 7, 0, 0, 0, zone)})
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func lb(text string) units.Mass            { return must(units.ParseMass(text)) }
func rateOf(text string) units.RatePerArea { return must(units.ParseRate(text)) }
func areaOf(text string) units.Area        { return must(units.ParseArea(text)) }
func pct(n int64) units.Share              { return units.Share(n * 1000) }

var _ tester = (*testing.T)(nil)
