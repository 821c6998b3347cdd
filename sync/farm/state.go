// Package farm folds entries into the state of a farm: who belongs to it, what
// its drill, boxes, ground and lots are, what is planned, where the seed went,
// whether the drill may be worked, and what is in doubt.
//
// The state is a function of the set of entries: order of arrival, repeats and
// batches never matter. An entry takes effect once everything that its writer
// had seen has taken effect, so that what it knew is always known here too;
// until then it waits. Two entries are apart where neither writer knew the
// other's; apart, not clock order, is what makes a conflict, and a conflict is
// shown as a [Doubt] until a person settles it.
//
// Each matter is a small ordered set or register keyed by the total order of
// the entries' places ([place]), or by the drill's own counter, so that an
// entry that arrives late is put in its place. Where somebody is let in, stopped
// or given another role, only the entries of the devices concerned are judged
// again.
//
// Everything that the digest covers is in integers.
package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// State is the state of one farm. It is not safe for concurrent use.
type State struct {
	listSt
	view *View // of the state as it is; nil when it must be made anew
}

// orderSt is which entries are here, who had seen what, and their total order.
type orderSt struct {
	id       entry.FarmID
	devices  []*device
	index    map[entry.DeviceID]*device
	order    []*rec            // all entries that took their place, causes first
	room     []rec             // for the next of them
	waiting  int               // entries that wait for their causes
	branches []*device         // of forked logs
	skews    []skew            // clocks that contradict each other
	lately   [16]*device       // that were asked for lately, by their IDs' last byte
	nobody   map[*rec]entry.ID // who wrote an entry, where that names no person
}

// device is a log as the fold knows it.
type device struct {
	id       entry.DeviceID
	nr       int // in State.devices, and in vectors
	recs     []*rec
	wait     []entry.Entry      // the entries that follow recs and wait, in order
	root     *device            // whose log this is a branch of; nil for one that is whole
	base     uint64             // the last entry that the branch shares with it
	full     bool               // of a device's log no more counts than what others named
	in       bool               // its device was ever let in
	branches []*device          // all of a device's log, at whatever remove, where that is named by this
	vec      *vector            // of its last entry
	proved   map[entry.Key]bool // whose signature its first entry was looked at for

	// What its first entry says, and those of whoever let it in.
	key    entry.Key
	name   string
	person *entry.ID // whose it is; nil where it does not belong
	joined bool      // somebody let it in, or it founded the farm
}

// vector is how far each device's log was known, by its number here.
type vector []uint64

func (v vector) at(nr int) uint64 {
	if nr < len(v) {
		return v[nr]
	}
	return 0
}

// rec is an entry in its place.
type rec struct {
	dev   *device
	seq   uint64
	clock hlc.Time
	wall  int64
	place
	hash  entry.Brief
	by    *entry.ID // the person's, one for each person; nil where that is nobody
	vec   *vector
	body  entry.Body
	eff   entry.Body // what it stands for now: its own or an amended body; nil where left out or struck
	edits *edits
	left  leftOut
	own   bool // by is the device's own person, whoever that is
}

// leftOut says why an entry is kept and shown, but left out of the state.
type leftOut uint8

const (
	counts     leftOut = iota
	noRight            // its writer had no right to it
	afterStop          // its device was stopped before it
	notJoined          // its device is not let in
	notKnown           // its body is not known to this version
	hasNoForce         // it asks for what may not be done, such as striking a hold, or of something that is not there
)

func (r *rec) id() entry.ID { return entry.ID{Device: r.dev.id, Seq: r.seq} }

// compare is the total order for showing: by place, then device, then number.
func (r *rec) compare(o *rec) int {
	if c := r.place.compare(o.place); c != 0 {
		return c
	}
	if r.dev != o.dev {
		return r.dev.id.Compare(o.dev.id)
	}
	return cmp.Compare(r.seq, o.seq)
}

func (r *rec) mark() entry.Mark { return entry.Mark{Device: r.dev.id, Seq: r.seq, Hash: r.hash} }

// signed is the same under the name of the device that signs it.
func (r *rec) signed() entry.Mark {
	return entry.Mark{Device: r.dev.signs(), Seq: r.seq, Hash: r.hash}
}

// knew says whether r's writer had seen o.
func (r *rec) knew(o *rec) bool {
	if r.dev == o.dev {
		return o.seq < r.seq
	}
	return r.vec.at(o.dev.nr) >= o.seq
}

// apart says whether neither writer had seen the other's entry.
func apart(a, b *rec) bool { return a != b && !a.knew(b) && !b.knew(a) }

// New is the state of a farm of which nothing is known yet.
func New(id entry.FarmID) *State {
	s := &State{}
	s.id, s.index, s.nobody = id, map[entry.DeviceID]*device{}, map[*rec]entry.ID{}
	s.reset()
	return s
}

// Farm is the farm's ID.
func (s *orderSt) Farm() entry.FarmID { return s.id }

// Apply takes entries in. A device's entries must come in their order; devices
// may come in any. Repeats are ignored.
func (s *State) Apply(es ...entry.Entry) {
	for i := range es {
		d := s.device(es[i].Device)
		switch {
		case es[i].Seq <= d.held()+uint64(len(d.wait)):
		case len(d.wait) == 0 && s.ready(&es[i]):
			s.admit(d, &es[i])
		default:
			d.wait = append(d.wait, es[i])
			s.waiting++
			s.changed()
		}
	}
	s.wake()
	s.rejudge()
}

// Applied is how far each log of a device that belongs, or belonged, has taken
// effect, causes and all: what a writer here may say that it has seen.
func (s *crewSt) Applied() chain.Frontier {
	f := make(chain.Frontier, 0, len(s.devices))
	for _, d := range s.devices {
		if n := len(d.recs); n > 0 && d.joined {
			f = append(f, d.recs[n-1].mark())
		}
	}
	slices.SortFunc(f, func(a, b chain.Mark) int { return a.Device.Compare(b.Device) })
	return f
}

// Waiting is the number of entries whose causes are not here yet.
func (s *orderSt) Waiting() int { return s.waiting }

func (s *orderSt) device(id entry.DeviceID) *device {
	if d := s.known(id); d != nil {
		return d
	}
	d := &device{id: id, nr: len(s.devices)}
	s.devices = append(s.devices, d)
	s.index[id] = d
	return d
}

// known is a device's log; nil where nothing was heard of it. It keeps in mind
// what was asked for, so that boxes which are followed at once must not ask.
func (s *orderSt) known(id entry.DeviceID) *device {
	at := &s.lately[id[len(id)-1]%byte(len(s.lately))]
	if d := *at; d != nil && d.id == id {
		return d
	}
	d := s.index[id]
	if d != nil {
		*at = d
	}
	return d
}

// Grow makes room for the entries of a record up to a frontier, which are to
// come.
func (s *orderSt) Grow(to chain.Frontier) {
	for _, m := range to {
		d := s.device(m.Device)
		d.recs = slices.Grow(d.recs, int(m.Seq-min(m.Seq, d.held())))
	}
	s.order = slices.Grow(s.order, max(0, int(to.Entries())-len(s.order)))
}

// ready says whether all that the entry's writer had seen is in its place, and of
// logs that everybody keeps.
func (s *State) ready(e *entry.Entry) bool {
	d := s.known(e.Device)
	if d.base > 0 && d.root.held() < d.base {
		return false
	}
	for _, m := range e.Seen {
		r := s.find(m.ID())
		if r == nil || r.hash != m.Hash {
			return false // or it is of a branch that is not here
		}
		if r.dev.signer() != d.signer() && !s.wasIn(r.dev) {
			return false
		}
	}
	return true
}

// wake admits entries that waited and need not any more.
func (s *State) wake() {
	for again := s.waiting > 0; again; {
		again = false
		for _, d := range s.devices {
			for len(d.wait) > 0 && s.ready(&d.wait[0]) {
				e := d.wait[0]
				d.wait = d.wait[1:]
				s.waiting--
				s.admit(d, &e)
				again = true
			}
		}
	}
}

// admit puts an entry, whose causes are all here, in its place.
func (s *State) admit(d *device, e *entry.Entry) {
	if s.stale && !aboutCrew(e.Body.Kind()) {
		s.rejudge()
	}
	if len(d.recs) == 0 && d.root != nil {
		s.begin(d)
		s.follows(d)
	}
	if len(e.Seen) > 0 || d.vec == nil {
		d.vec = s.know(d, e.Seen)
	}
	r := s.newRec()
	*r = rec{dev: d, seq: e.Seq, hash: e.Hash, clock: e.Clock, wall: e.Wall, vec: d.vec, body: e.Body}
	r.place = s.placeOf(r, e.Seen)
	d.recs = append(d.recs, r)
	s.order = append(s.order, r)
	s.changed()
	for _, m := range s.newlySeen(r) {
		s.checkClock(r, s.find(m.ID()))
	}
	s.settle(r, e.Person)
}

// newRec makes room for an entry beside those that came before it.
func (s *orderSt) newRec() *rec {
	const most = 256
	if len(s.room) == 0 {
		s.room = make([]rec, min(most, 1+len(s.order)/8))
	}
	r := &s.room[0]
	s.room = s.room[1:]
	return r
}

// newlySeen is how far r's writer had seen each log further than at its entry
// before, by what it named and what those entries' writers had seen.
func (s *orderSt) newlySeen(r *rec) []entry.Mark {
	var was vector
	if r.seq > 1 {
		before := r.dev.at(r.seq - 1).vec
		if before == r.vec {
			return nil
		}
		was = *before
	}
	var marks []entry.Mark
	for nr, seq := range *r.vec {
		if d := s.devices[nr]; seq > was.at(nr) && nr != r.dev.nr && seq > d.base {
			marks = append(marks, d.at(seq).mark())
		}
	}
	return marks
}

// Entries gives fn every entry that is here, in total order but for those that
// wait, so that applying them to a new State makes this one again. What a
// writer had seen is told in full: what it named, and what followed from that.
func (s *orderSt) Entries(fn func(entry.Entry)) {
	rs := slices.Clone(s.order)
	slices.SortFunc(rs, (*rec).compare)
	for _, r := range rs {
		fn(s.entryOf(r))
	}
	for _, d := range s.devicesInOrder() {
		for _, e := range d.wait {
			fn(e)
		}
	}
}

// entryOf is an entry as it was applied, but that it tells in full what its
// writer had newly seen.
func (s *orderSt) entryOf(r *rec) entry.Entry {
	e := entry.Entry{ID: r.id(), Hash: r.hash, Clock: r.clock, Wall: r.wall, Seen: s.newlySeen(r), Body: r.body}
	if !r.own {
		e.Person = personID(r)
	}
	if id, ok := s.nobody[r]; ok {
		e.Person = id
	}
	return e
}

// know is a device's vector moved on by what its writer had newly seen, and by
// what those entries' writers had seen. Entries between two such steps share
// one vector.
func (s *orderSt) know(d *device, seen []entry.Mark) *vector {
	var vec vector
	if d.vec != nil {
		vec = slices.Clone(*d.vec)
	}
	for _, m := range seen {
		from := s.index[m.Device]
		vec = vec.raised(from.nr, m.Seq)
		for nr, seq := range *from.at(m.Seq).vec {
			vec = vec.raised(nr, seq)
		}
	}
	return &vec
}

func (v vector) raised(nr int, seq uint64) vector {
	for len(v) <= nr {
		v = append(v, 0)
	}
	v[nr] = max(v[nr], seq)
	return v
}

// find is the entry with an ID, or nil where it is not in its place here.
func (s *orderSt) find(id entry.ID) *rec {
	d := s.known(id.Device)
	if d == nil || !d.holds(id.Seq) {
		return nil
	}
	return d.at(id.Seq)
}

// Wait is the first entry of a log that waits, and an entry that it waits for.
type Wait struct{ Entry, For entry.Mark }

// Waits are what the logs wait for, by device.
func (s *orderSt) Waits() []Wait {
	var out []Wait
	for _, d := range s.devicesInOrder() {
		if len(d.wait) == 0 {
			continue
		}
		w := Wait{Entry: d.wait[0].Mark()}
		for _, m := range d.wait[0].Seen {
			if r := s.find(m.ID()); r == nil || r.hash != m.Hash {
				w.For = m
				break
			}
		}
		out = append(out, w)
	}
	return out
}
