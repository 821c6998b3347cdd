package logtest

import (
	"crypto/ed25519"
	"crypto/sha256"
	"fmt"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// Morning is the wall clock at which a test's day begins, ms since 1970.
const Morning = 1_790_000_000_000

// Device writes entries. Its key and ID are made from its number alone.
type Device struct {
	ID  entry.DeviceID
	Key ed25519.PrivateKey
}

// NewDevice is device number n, the same each time.
func NewDevice(n int) Device {
	seed := sha256.Sum256(fmt.Appendf(nil, "device %d of a test", n))
	d := Device{Key: ed25519.NewKeyFromSeed(seed[:])}
	copy(d.ID[:], seed[16:])
	d.ID[0], d.ID[6], d.ID[8] = byte(n), 0x70, 0x80 // in order of n, and a UUID of version 7
	return d
}

// Public is the device's public key.
func (d Device) Public() entry.Key { return entry.Key(d.Key.Public().(ed25519.PublicKey)) }

// Crew is a farm's devices; the first founded it.
type Crew struct {
	Farm    entry.FarmID
	Devices []Device
}

// paper is the public half of the code on paper, which nobody uses here.
var paper = entry.Key{7}

// NewCrew is a crew of n devices, the same each time.
func NewCrew(n int) *Crew {
	c := &Crew{}
	for i := range n {
		c.Devices = append(c.Devices, NewDevice(i+1))
	}
	c.Farm = entry.FoundedBy(c.Devices[0].ID, c.Devices[0].Public(), paper)
	return c
}

// First is the first entry of a device's log: it founds the farm, or joins.
func (c *Crew) First(i int) entry.Draft {
	d := c.Devices[i]
	if i == 0 {
		return entry.Draft{Body: &entry.FarmFounded{Name: "Gravelly Bottom", TimeZone: "America/New_York", Owner: "Ida", Key: d.Public(), DeviceName: "house", Paper: paper}}
	}
	return entry.Draft{Body: &entry.DeviceEnrolled{Invite: entry.Key{9}, Key: d.Public(), Name: fmt.Sprintf("phone %d", i)}}
}

// Note is a note.
func Note(format string, args ...any) entry.Draft {
	return entry.Draft{Body: &entry.Noted{Text: fmt.Sprintf(format, args...)}}
}

// Notes are n notes.
func Notes(n int) []entry.Draft {
	ds := make([]entry.Draft, n)
	for i := range ds {
		ds[i] = Note("level of the clover box looked at, %d", i)
	}
	return ds
}

// Join writes the first entry of device i.
func (c *Crew) Join(t testing.TB, l Log, i int) {
	t.Helper()
	c.Write(t, l, i, c.First(i))
}

// Write records drafts of device i, at a wall clock of the morning and one
// second more for each entry.
func (c *Crew) Write(t testing.TB, l Log, i int, drafts ...entry.Draft) []entry.Entry {
	t.Helper()
	d := c.Devices[i]
	h, _ := l.Head(d.ID)
	es, err := l.Record(d.Key, d.ID, Morning+int64(h.Seq)*1000, nil, drafts...)
	if err != nil {
		t.Fatal(err)
	}
	return es
}

// All reads a whole log.
func All(t testing.TB, l Log, from ...chain.Head) []entry.Entry {
	t.Helper()
	var es []entry.Entry
	if err := l.Each(from, func(e entry.Entry) error { es = append(es, e); return nil }); err != nil {
		t.Fatal(err)
	}
	return es
}

// Runs reads all of a device's runs, in pieces of the bytes given.
func Runs(t testing.TB, l Log, d entry.DeviceID, from uint64, most int) []entry.Run {
	t.Helper()
	var all []entry.Run
	for {
		runs, more, err := l.Runs(d.Log(), from, most)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, runs...)
		if !more {
			return all
		}
		from = all[len(all)-1].Last() + 1
	}
}
