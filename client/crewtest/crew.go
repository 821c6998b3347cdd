// Package crewtest makes records for tests: people at one place who see at
// once what each of them writes. Entries are real, chained, signed, encoded
// and folded, on one clock that goes on a minute with each; the same calls
// make the same bytes.
package crewtest

import (
	"crypto/ed25519"
	"slices"
	"time"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// T is what a test of one run and one of many have in common.
type T interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

// Crew is a farm's people and their devices, by number: the owner's is 0.
type Crew struct {
	State *farm.State
	Wall  time.Time // of the last entry

	t     T
	heads []*chain.Head
	keys  []ed25519.PrivateKey
	late  hlc.Time
	runs  []entry.Run
}

// Found starts a crew with its owner's device.
func Found(t T, at time.Time, b entry.FarmFounded) *Crew {
	c := &Crew{State: farm.New(ID()), Wall: at, t: t}
	c.device(1, keyOf(1))
	b.Key, b.Paper = publicOf(keyOf(1)), publicOf(keyOf(99))
	c.Write(0, &b)
	return c
}

// ID is the farm that every crew founds.
func ID() entry.FarmID { return entry.FoundedBy(deviceOf(1), publicOf(keyOf(1)), publicOf(keyOf(99))) }

func keyOf(n byte) ed25519.PrivateKey {
	return ed25519.NewKeyFromSeed(slices.Repeat([]byte{n}, ed25519.SeedSize))
}

func publicOf(k ed25519.PrivateKey) entry.Key { return entry.Key(k.Public().(ed25519.PublicKey)) }

func deviceOf(n byte) entry.DeviceID { return entry.DeviceID{0: 1, 6: 0x70, 8: 0x80, 15: n} }

func (c *Crew) device(n byte, key ed25519.PrivateKey) {
	head := chain.Start(ID(), deviceOf(n), publicOf(key))
	c.heads, c.keys = append(c.heads, &head), append(c.keys, key)
	c.runs = append(c.runs, entry.Run{Device: head.Log.Device(), First: 1})
}

// Join adds a person with a device, whose number it gives.
func (c *Crew) Join(name string, role entry.Role) int {
	c.t.Helper()
	n := byte(len(c.heads) + 1)
	invite, key := keyOf(n+100), keyOf(n)
	person := c.Write(0, &entry.MemberAdded{Name: name, Role: role})
	c.Write(0, &entry.Invited{Person: person, Key: publicOf(invite), Expires: c.Wall.Add(time.Hour).UnixMilli()})
	c.device(n, key)
	who := len(c.heads) - 1
	c.Apart(who, &entry.DeviceEnrolled{Invite: publicOf(invite), Key: publicOf(key), Name: name + "'s phone",
		Proof: entry.Countersign(invite, ID(), deviceOf(n), publicOf(key))})
	c.Write(0, &entry.Admitted{Device: deviceOf(n), Hash: c.heads[who].Hash.Brief(), Person: person, Role: role})
	return who
}

// Write lets a person write an entry, a minute after the last, knowing all
// that was written before.
func (c *Crew) Write(who int, b entry.Body) entry.ID {
	c.t.Helper()
	head := c.heads[who]
	var seen []entry.Mark
	for _, m := range c.State.Applied() {
		if i := head.Peer(m.Log); m.Log != head.Log && (i < 0 || head.Seen[i] < m.Seq) {
			seen = append(seen, m)
		}
	}
	return c.Apart(who, b, seen...)
}

// Apart lets a person write an entry without having seen what others wrote
// since that person's last, but for what is named.
func (c *Crew) Apart(who int, b entry.Body, seen ...entry.Mark) entry.ID {
	c.t.Helper()
	if err := b.Check(); err != nil {
		c.t.Fatalf("%T: %v", b, err)
	}
	c.Wall = c.Wall.Add(time.Minute)
	clock := hlc.Next(c.late, c.Wall.UnixMilli())
	head := c.heads[who]
	back := head.Clone()
	raw, err := wire.Encode(head, entry.Draft{Clock: clock, Wall: c.Wall.UnixMilli(), Seen: seen, Body: b})
	if err != nil {
		c.t.Fatal(err)
	}
	e, err := wire.Decode(&back, raw)
	if err != nil {
		c.t.Fatal(err)
	}
	head.Advance(raw)
	c.late = clock
	c.runs[who].Entries = append(c.runs[who].Entries, raw)
	c.runs[who].Sig = entry.Sign(c.keys[who], head.Hash)
	c.State.Apply(e)
	return e.ID
}

// At moves the clock to an hour and minute of the day, or of one so many days
// later, where the clock's zone is.
func (c *Crew) At(days, hour, minute int) {
	y, m, d := c.Wall.Date()
	c.Wall = time.Date(y, m, d+days, hour, minute, 0, 0, c.Wall.Location())
}

// Mark is the mark of an entry that was written.
func (c *Crew) Mark(id entry.ID) entry.Mark {
	m, _ := c.State.Held(id.Log.Device(), id.Seq)
	return m
}

// Runs are the devices' logs, each signed at its end.
func (c *Crew) Runs() []entry.Run { return slices.Clone(c.runs) }
