package workload

import (
	"crypto/ed25519"
	"crypto/sha256"
	"fmt"
	"strconv"
	"time"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// Batch is how many entries a device writes at a time.
const Batch = 10

const (
	evening = Begin - 12*3600*1000 // when the farm is set up, ms since 1970
	day     = int64(24 * time.Hour / time.Millisecond)
)

// Writer writes one device's log.
type Writer struct {
	Head  chain.Head
	Key   ed25519.PrivateKey
	knows entry.Mark // of the owner's log, to be told with the next entry
}

// Know has the next entry say that its writer has seen another's log so far.
func (w *Writer) Know(m entry.Mark) { w.knows = m }

// Device is the writer's device.
func (w *Writer) Device() entry.DeviceID { return w.Head.Log.Device() }

// Run writes entries, each at its draft's own wall clock, with one signature.
func (w *Writer) Run(drafts ...entry.Draft) (entry.Run, error) {
	run := entry.Run{Device: w.Device(), First: w.Head.Seq + 1}
	for _, d := range drafts {
		d.Clock = hlc.Next(w.Head.Clock, d.Wall)
		if !w.knows.IsZero() {
			d.Seen, w.knows = append(d.Seen, w.knows), entry.Mark{}
		}
		raw, err := wire.Encode(&w.Head, d)
		if err != nil {
			return run, err
		}
		w.Head.Advance(raw)
		run.Entries = append(run.Entries, raw)
	}
	run.Sig = entry.Sign(w.Key, w.Head.Hash)
	return run, nil
}

// Farm is a farm whose devices write the workload. Its first device, the
// owner's, founded it and set up the things; the others write the lines.
type Farm struct {
	ID      entry.FarmID
	Writers []*Writer
	Things  Things
	Start   []entry.Run // what all devices hold when they part: the founding, the things, the enrolments
}

// NewFarm is a farm of an owner and so many devices, the same each time for
// each name.
func NewFarm(name string, devices int) (*Farm, error) {
	f := &Farm{}
	owner := newWriter(name, 0)
	f.ID = entry.FoundedBy(owner.Device(), owner.public(), paper(name))
	owner.start(f.ID)
	drafts, invites := f.founding(name, owner, devices)
	if err := f.begin(owner, drafts); err != nil {
		return nil, err
	}
	for i, invite := range invites {
		w := newWriter(name, i+1)
		w.start(f.ID)
		if err := f.begin(w, []entry.Draft{w.enrolment(invite)}); err != nil {
			return nil, err
		}
	}
	return f, f.admit()
}

// admit has the owner let all devices in, and them know of it.
func (f *Farm) admit() error {
	owner := f.Writers[0]
	var drafts []entry.Draft
	for i, w := range f.Writers[1:] {
		drafts = append(drafts, entry.Draft{Wall: evening, Body: &entry.Admitted{
			Device: w.Device(), Hash: w.Head.Hash.Brief(), Person: f.Things.Persons[i%people], Role: entry.Operator,
		}})
	}
	if len(drafts) == 0 {
		return nil
	}
	run, err := owner.Run(drafts...)
	f.Start = append(f.Start, run)
	for _, w := range f.Writers[1:] {
		w.knows = owner.Head.Mark()
	}
	return err
}

// paper is the public half of a farm's code on paper.
func paper(farm string) entry.Key {
	return entry.Key(key(farm, "paper").Public().(ed25519.PublicKey))
}

func (f *Farm) begin(w *Writer, drafts []entry.Draft) error {
	run, err := w.Run(drafts...)
	f.Writers, f.Start = append(f.Writers, w), append(f.Start, run)
	return err
}

// invite is a place for a device.
type invite struct{ secret ed25519.PrivateKey }

// founding is the owner's log: the farm, the things, and the invites.
func (f *Farm) founding(name string, owner *Writer, devices int) ([]entry.Draft, []invite) {
	draft := func(b entry.Body) entry.Draft { return entry.Draft{Wall: evening, Body: b} }
	id := func(seq int) entry.ID { return entry.ID{Log: owner.Head.Log, Seq: uint64(seq)} }
	drafts := []entry.Draft{draft(&entry.FarmFounded{Name: name, Owner: "owner", Key: owner.public(), Paper: paper(name)})}
	bodies, things := SetUp(func(i int) entry.ID { return id(i + 2) })
	f.Things = things
	for _, b := range bodies {
		drafts = append(drafts, draft(b))
	}
	var invites []invite
	for i := range devices {
		secret := key(name, "invite "+strconv.Itoa(i))
		drafts = append(drafts, draft(&entry.Invited{
			Person: things.Persons[i%people], Key: entry.Key(secret.Public().(ed25519.PublicKey)), Expires: evening + day,
		}))
		invites = append(invites, invite{secret})
	}
	return drafts, invites
}

// newWriter is device number n of a farm.
func newWriter(farm string, n int) *Writer {
	w := &Writer{Key: key(farm, "device "+strconv.Itoa(n))}
	sum := sha256.Sum256(w.Key.Seed())
	copy(w.Head.Log[:], sum[:])
	w.Head.Log[6], w.Head.Log[8] = 0x70|w.Head.Log[6]&15, 0x80|w.Head.Log[8]&63 // a UUID of version 7
	return w
}

func (w *Writer) start(id entry.FarmID) { w.Head = chain.Start(id, w.Device(), w.public()) }

func (w *Writer) public() entry.Key { return entry.Key(w.Key.Public().(ed25519.PublicKey)) }

// enrolment asks to join on an invite.
func (w *Writer) enrolment(i invite) entry.Draft {
	return entry.Draft{
		Wall: evening,
		Body: &entry.DeviceEnrolled{
			Invite: entry.Key(i.secret.Public().(ed25519.PublicKey)), Key: w.public(), Name: fmt.Sprintf("%x", w.Head.Log[:4]),
			Proof: entry.Countersign(i.secret, w.Head.Farm, w.Device(), w.public()),
		},
	}
}

func key(parts ...string) ed25519.PrivateKey {
	seed := sha256.Sum256(fmt.Append(nil, parts))
	return ed25519.NewKeyFromSeed(seed[:])
}

// Lines writes the first n lines, apart: the device of each line, in batches
// of Batch with a signature each. The first entry of each device says that it
// has seen the owner's log as it stands in Start.
func (f *Farm) Lines(n int) ([]entry.Run, error) { return Write(f.Writers[1:], f.Things, n) }

// Write has writers write the first n lines, each device's in its turn.
func Write(writers []*Writer, t Things, n int) ([]entry.Run, error) {
	waiting := make([][]entry.Draft, len(writers))
	var runs []entry.Run
	flush := func(i int) error {
		if len(waiting[i]) == 0 {
			return nil
		}
		run, err := writers[i].Run(waiting[i]...)
		runs, waiting[i] = append(runs, run), waiting[i][:0]
		return err
	}
	for i, l := range Lines(n) {
		d := i % Devices % len(writers)
		if waiting[d] = append(waiting[d], t.Draft(l)); len(waiting[d]) < Batch {
			continue
		}
		if err := flush(d); err != nil {
			return nil, err
		}
	}
	for i := range writers {
		if err := flush(i); err != nil {
			return nil, err
		}
	}
	return runs, nil
}
