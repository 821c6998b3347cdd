package order

import (
	"cmp"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// Order is which entries are here, who had seen what, and their total order. No
// log and no entry is ever taken out again, and an entry's place and vector never
// change.
type Order struct {
	FarmID    entry.FarmID
	Logs      []*Log               // Logs[i].Nr is i
	Index     map[entry.LogID]*Log // the same, by ID
	InPlace   []*Rec               // all entries that took their place, as they took it: causes first
	room      []Rec                // not used yet; it never grows, so that pointers into it stay good
	WaitCount int                  // entries that wait for their causes, in all logs
	Branches  []*Log               // of forked logs: those with a Root
	Skews     []Skew               // clocks that contradict each other
	lately    [16]*Log             // a cache of Index by the last byte of the ID; not asked while boxes are followed at once
	Nobody    map[*Rec]entry.ID    // who wrote an entry, where that names no person
}

// Log is a log as the fold knows it: Recs and then Wait are its entries from
// Base+1 on, without a gap.
//
// Where a device writes on from an old copy, its log forks. What the branches
// share stays in the log that has the device's name; each goes on in a log of its
// own, whose entries are numbered on:
//
//	A   1 ─ 2 ─ 3                   Base 0
//	            ├─ 4 ─ 5            B: Root A, Base 3
//	            └─ 4 ─ 5 ─ 6        C: Root A, Base 3
//
// A signs all three; chain.Branch names B and C, and B.At(2) is A's. B's writer had
// seen A up to 3 and nothing of C: so the two with number 4 are concurrent, and
// are ordered by place, then by the names of their branches.
type Log struct {
	ID       entry.LogID
	Nr       int                // in Order.Logs, and in vectors
	Recs     []*Rec             // that took their place: Recs[i] has number Base+1+i
	Wait     []entry.Entry      // that follow Recs and wait, in order; the first lacks a cause
	Root     *Log               // whose log this is a branch of; nil for one that is whole
	Base     uint64             // the last entry that the branch shares with it
	Full     bool               // of a device's log no more counts than what others named
	In       bool               // its device was ever let in; once true, for good
	Branches []*Log             // all of a device's log, at whatever remove, where that is named by this
	Vec      *Vector            // of the last of Recs; nil before any
	Proved   map[entry.Key]bool // whose signature its first entry was looked at for

	// What its first entry says, and those of whoever let it in.
	Key    entry.Key
	Name   string
	Person *entry.ID // whose it is; nil where it does not belong
	Joined bool      // somebody let it in, or it founded the farm
}

// Vector is how far each other log was known, by its number here; of a log's own
// entries the number alone tells. Entries share it: it is never changed once an
// entry has it.
type Vector []uint64

// At is how far the log of a number was known.
func (v Vector) At(nr int) uint64 {
	if nr < len(v) {
		return v[nr]
	}
	return 0
}

// Rec is an entry in its place.
type Rec struct {
	Log   *Log
	Seq   uint64
	Clock hlc.Time
	Wall  int64
	Place
	Hash  entry.Brief
	By    *entry.ID // the person's, one pointer for each person; nil where that is nobody
	Vec   *Vector   // what its writer had seen when it was written
	Body  entry.Body
	Eff   entry.Body // what it stands for now: its own or an amended body; nil where left out or struck
	Edits *Edits
	Left  LeftOut
	Own   bool // By is the device's own person, whoever that is
}

// LeftOut says why an entry is kept and shown, but left out of the state.
type LeftOut uint8

// Why an entry is left out of the state: Counts is of one that is not.
const (
	Counts     LeftOut = iota
	NoRight            // its writer had no right to it
	AfterStop          // its device was stopped before it
	NotJoined          // its device is not let in
	NotKnown           // its body is not known to this version
	HasNoForce         // it asks for what may not be done, such as striking a hold, or of something that is not there
)

// ID is the entry's ID, under its log's name.
func (r *Rec) ID() entry.ID { return entry.ID{Log: r.Log.ID, Seq: r.Seq} }

// Compare is the total order for showing: by place, then log, then number. An
// entry comes after all that its writer had seen.
func (r *Rec) Compare(o *Rec) int {
	if c := r.Place.compare(o.Place); c != 0 {
		return c
	}
	if r.Log != o.Log {
		return r.Log.ID.Compare(o.Log.ID)
	}
	return cmp.Compare(r.Seq, o.Seq)
}

// Mark is the entry's number and hash, under its log's name.
func (r *Rec) Mark() entry.Mark { return entry.Mark{Log: r.Log.ID, Seq: r.Seq, Hash: r.Hash} }

// Signed is the same under the name of the device that signs it.
func (r *Rec) Signed() entry.Mark {
	return entry.Mark{Log: r.Log.Signer().ID, Seq: r.Seq, Hash: r.Hash}
}

// Knew says whether r's writer had seen o.
func (r *Rec) Knew(o *Rec) bool {
	if r.Log == o.Log {
		return o.Seq < r.Seq
	}
	return r.Vec.At(o.Log.Nr) >= o.Seq
}

// Concurrent says whether neither writer had seen the other's entry.
func Concurrent(a, b *Rec) bool { return a != b && !a.Knew(b) && !b.Knew(a) }

// Farm is the farm's ID.
func (s *Order) Farm() entry.FarmID { return s.FarmID }

// Waiting is the number of entries whose causes are not here yet.
func (s *Order) Waiting() int { return s.WaitCount }

// LogOf is a device's log, made where nothing was heard of it.
func (s *Order) LogOf(id entry.LogID) *Log {
	if d := s.Known(id); d != nil {
		return d
	}
	d := &Log{ID: id, Nr: len(s.Logs)}
	s.Logs = append(s.Logs, d)
	s.Index[id] = d
	return d
}

// Known is a device's log; nil where nothing was heard of it. It keeps in mind
// what was asked for, so that boxes which are followed at once must not ask.
func (s *Order) Known(id entry.LogID) *Log {
	at := &s.lately[id[len(id)-1]%byte(len(s.lately))]
	if d := *at; d != nil && d.ID == id {
		return d
	}
	d := s.Index[id]
	if d != nil {
		*at = d
	}
	return d
}

// Grow makes room for the entries of a record up to a frontier, which are to
// come.
func (s *Order) Grow(to chain.Frontier) {
	for _, m := range to {
		d := s.LogOf(m.Log)
		d.Recs = slices.Grow(d.Recs, int(m.Seq-min(m.Seq, d.Held())))
	}
	s.InPlace = slices.Grow(s.InPlace, max(0, int(to.Entries())-len(s.InPlace)))
}

// NewRec makes room for an entry beside those that came before it.
func (s *Order) NewRec() *Rec {
	const most = 256
	if len(s.room) == 0 {
		s.room = make([]Rec, min(most, 1+len(s.InPlace)/8))
	}
	r := &s.room[0]
	s.room = s.room[1:]
	return r
}

// NewlySeen is how far r's writer had seen each log further than at its entry
// before, by what it named and what those entries' writers had seen.
func (s *Order) NewlySeen(r *Rec) []entry.Mark {
	var was Vector
	if r.Seq > 1 {
		before := r.Log.At(r.Seq - 1).Vec
		if before == r.Vec {
			return nil
		}
		was = *before
	}
	var marks []entry.Mark
	for nr, seq := range *r.Vec {
		if d := s.Logs[nr]; seq > was.At(nr) && nr != r.Log.Nr && seq > d.Base {
			marks = append(marks, d.At(seq).Mark())
		}
	}
	return marks
}

// Entries gives fn every entry that is here, in total order but for those that
// wait, so that applying them to a new State makes this one again. What a
// writer had seen is told in full: what it named, and what followed from that.
func (s *Order) Entries(fn func(entry.Entry)) {
	rs := slices.Clone(s.InPlace)
	slices.SortFunc(rs, (*Rec).Compare)
	for _, r := range rs {
		fn(s.EntryOf(r))
	}
	for _, d := range s.LogsInOrder() {
		for _, e := range d.Wait {
			fn(e)
		}
	}
}

// EntryOf is an entry as it was applied, but that it tells in full what its
// writer had newly seen.
func (s *Order) EntryOf(r *Rec) entry.Entry {
	e := entry.Entry{ID: r.ID(), Hash: r.Hash, Clock: r.Clock, Wall: r.Wall, Seen: s.NewlySeen(r), Body: r.Body}
	if !r.Own {
		e.Person = PersonID(r)
	}
	if id, ok := s.Nobody[r]; ok {
		e.Person = id
	}
	return e
}

// Know is a device's vector moved on by what its writer had newly seen, and by
// what those entries' writers had seen. Entries between two such steps share
// one vector.
func (s *Order) Know(d *Log, seen []entry.Mark) *Vector {
	var vec Vector
	if d.Vec != nil {
		vec = slices.Clone(*d.Vec)
	}
	for _, m := range seen {
		from := s.Index[m.Log]
		vec = vec.raised(from.Nr, m.Seq)
		for nr, seq := range *from.At(m.Seq).Vec {
			vec = vec.raised(nr, seq)
		}
	}
	return &vec
}

func (v Vector) raised(nr int, seq uint64) Vector {
	for len(v) <= nr {
		v = append(v, 0)
	}
	v[nr] = max(v[nr], seq)
	return v
}

// Find is the entry with an ID, or nil where it is not in its place here.
func (s *Order) Find(id entry.ID) *Rec {
	d := s.Known(id.Log)
	if d == nil || !d.Holds(id.Seq) {
		return nil
	}
	return d.At(id.Seq)
}

// Wait is the first entry of a log that waits, and an entry that it waits for.
type Wait struct{ Entry, For entry.Mark }

// Waits are what the logs wait for, by device.
func (s *Order) Waits() []Wait {
	var out []Wait
	for _, d := range s.LogsInOrder() {
		if len(d.Wait) == 0 {
			continue
		}
		w := Wait{Entry: d.Wait[0].Mark()}
		for _, m := range d.Wait[0].Seen {
			if r := s.Find(m.ID()); r == nil || r.Hash != m.Hash {
				w.For = m
				break
			}
		}
		out = append(out, w)
	}
	return out
}
