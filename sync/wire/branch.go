package wire

import (
	"cmp"
	"fmt"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// Stretch is a part of a forked log, up to where it forks next or to its end.
// What all branches share is the device's own; each stretch beyond a fork has
// the name that chain.Branch gives it, and its entries are numbered on. So
// stretches and their names depend on the entries alone, not on which branch
// came first.
type Stretch struct {
	Name    entry.LogID
	Of      entry.ID // the entry that it follows on, under its stretch's name; number 0 for none
	Entries []entry.Entry
	log     *forked
	above   *Stretch
	head    chain.Head // its end
	parts   bool       // its log forks there
	ended   bool       // its log goes on there with what cannot be read
}

// at is the stretch, this one or one that it follows on, which holds the entry
// of a number; nil where none does.
func (s *Stretch) at(seq uint64) *Stretch {
	for s != nil && seq <= s.Of.Seq {
		s = s.above
	}
	if s == nil || seq > s.Of.Seq+uint64(len(s.Entries)) {
		return nil
	}
	return s
}

// Forks are the forked logs of a farm, taken apart.
type Forks struct {
	logs    []*forked           // one for each device
	named   map[naming]*Stretch // the stretch that a log named last
	missing map[place]bool      // entries that were named and that no branch here holds
	stale   bool                // see Stale
}

// place is an entry of some branch, by its number and the chain's hash there.
type place struct {
	seq  uint64
	hash entry.Brief
}

// naming is a log that says how far its writer had seen a forked one.
type naming struct{ by, of entry.LogID }

type forked struct {
	device entry.DeviceID
	key    entry.Key
	start  chain.Head
	named  map[entry.Brief]bool    // where only what others named counts: the hashes of that; else nil
	next   map[entry.Hash][][]byte // entries by the hash of the log that they follow on: a fork where there are several
	all    []*Stretch              // those that a stretch follows on come before it
	lost   map[uint64][]entry.Hash // what does not count: from an entry on that cannot be read, or beyond what is named
	spare  map[place]bool          // of that, what would if it were named
}

// Add takes a forked log apart: head is the device's before its first entry,
// runs are all that is held of each branch, from the beginning or from where
// it parts. ErrMalformed reports runs that do not fit together.
func (f *Forks) Add(head chain.Head, runs []entry.Run) error {
	l := &forked{device: head.Log.Device(), key: head.Key, start: head.Clone(), next: map[entry.Hash][][]byte{}, lost: map[uint64][]entry.Hash{}}
	ends := map[uint64][]entry.Hash{0: {head.Hash}}
	runs = slices.Clone(runs)
	slices.SortStableFunc(runs, func(a, b entry.Run) int { return cmp.Compare(a.First, b.First) })
	for _, r := range runs {
		if !l.take(r, ends) {
			return fmt.Errorf("%w: a branch of %s follows on nothing", ErrMalformed, head.Log)
		}
	}
	l.walk(l.start.Clone(), &Stretch{Name: head.Log, log: l}, nil)
	f.logs = append(f.logs, l)
	return nil
}

// take finds the branch that a run goes on: by its signature, where there are
// several.
func (l *forked) take(r entry.Run, ends map[uint64][]entry.Hash) bool {
	for _, before := range ends[r.First-1] {
		hashes := []entry.Hash{before}
		for i, raw := range r.Entries {
			hashes = append(hashes, entry.NextHash(hashes[i], raw))
		}
		if len(ends[r.First-1]) > 1 && entry.Verify(l.key, hashes[len(r.Entries)], r.Sig) != nil {
			continue
		}
		for i, raw := range r.Entries {
			if seq := r.First + uint64(i); !slices.Contains(ends[seq], hashes[i+1]) {
				ends[seq] = append(ends[seq], hashes[i+1])
				l.next[hashes[i]] = append(l.next[hashes[i]], raw)
			}
		}
		return true
	}
	return false
}

// walk reads a stretch, which begins with an entry where it is a branch, and
// those that follow on it. What cannot be read ends it: whoever has the key can
// sign anything, and only a device's own log was read before it was kept.
func (l *forked) walk(head chain.Head, s *Stretch, first []byte) {
	l.all = append(l.all, s)
	s.head = head
	next := [][]byte{first}
	if first == nil {
		next = l.next[head.Hash]
	}
	for ; len(next) == 1; next = l.next[s.head.Hash] {
		if !s.read(next[0]) {
			l.lose(s.head.Hash, s.head.Seq)
			s.ended = true
			return
		}
	}
	s.parts = len(next) > 0
	for _, raw := range next {
		branch := &Stretch{Name: chain.Branch(entry.NextHash(s.head.Hash, raw)), Of: entry.ID{Log: s.Name, Seq: s.head.Seq}, log: l, above: s}
		l.walk(s.head.Clone(), branch, raw)
	}
}

// read adds an entry to the stretch, if it can be read.
func (s *Stretch) read(raw []byte) bool {
	e, err := Decode(&s.head, raw)
	if err == nil {
		s.Entries = append(s.Entries, e)
	}
	return err == nil
}

// lose notes all that follows on a hash as not to be read.
func (l *forked) lose(before entry.Hash, seq uint64) {
	for _, raw := range l.next[before] {
		h := entry.NextHash(before, raw)
		l.lost[seq+1] = append(l.lost[seq+1], h)
		l.lose(h, seq+1)
	}
}

// Grow adds a run that has come since its log was taken apart. It gives the new
// entries as the fold takes them, under their stretch's name. Anew says that they
// change how the record is read, by a fork of their own or since an entry that
// was read before had named one of them: all is to be taken apart anew.
func (f *Forks) Grow(r entry.Run) (es []entry.Entry, anew bool) {
	l := f.log(r.Device.Log())
	if l == nil {
		return nil, true
	}
	s := l.goesOn(r)
	if s == nil || l.named != nil {
		return nil, f.setsAside(l, s, r)
	}
	for i, raw := range r.Entries {
		if !s.read(raw) {
			s.ended = true
			l.loseAll(s.head.Hash, r.First+uint64(i), r.Entries[i:])
			break
		}
		e := s.Entries[len(s.Entries)-1]
		if f.missing[place{e.Seq, e.Hash}] {
			return nil, true
		}
		e = f.read(e, s)
		e.Log = s.Name
		es = append(es, e)
	}
	return es, false
}

// setsAside notes a run that goes on from a stretch, or from what does not count
// where that is nil, as not counting either. It says whether all is to be taken
// apart anew.
func (f *Forks) setsAside(l *forked, s *Stretch, r entry.Run) (anew bool) {
	var before entry.Hash
	if s != nil {
		before = s.head.Hash
	} else if lost, ok := l.lostBefore(r); ok {
		before = lost
	} else {
		return true
	}
	for _, p := range l.loseAll(before, r.First, r.Entries) {
		if l.named != nil {
			l.spare[p] = true
			anew = anew || f.missing[p]
		}
	}
	return anew
}

// goesOn is the stretch at whose end a run goes on; nil where it is none's.
func (l *forked) goesOn(r entry.Run) *Stretch {
	for _, s := range l.all {
		if !s.parts && !s.ended && s.head.Seq+1 == r.First && l.signed(s.head.Hash, r) {
			return s
		}
	}
	return nil
}

// lostBefore is the hash before a run that follows on what does not count.
func (l *forked) lostBefore(r entry.Run) (before entry.Hash, ok bool) {
	for _, before := range l.lost[r.First-1] {
		if l.signed(before, r) {
			return before, true
		}
	}
	return entry.Hash{}, false
}

func (l *forked) loseAll(before entry.Hash, first uint64, raws [][]byte) (lost []place) {
	for i, raw := range raws {
		before = entry.NextHash(before, raw)
		seq := first + uint64(i)
		l.lost[seq] = append(l.lost[seq], before)
		lost = append(lost, place{seq, before.Brief()})
	}
	return lost
}

// signed says whether a run follows on a hash.
func (l *forked) signed(before entry.Hash, r entry.Run) bool {
	for _, raw := range r.Entries {
		before = entry.NextHash(before, raw)
	}
	return entry.Verify(l.key, before, r.Sig) == nil
}

// Each gives fn every stretch of every forked log, with its entries as the
// fold takes them. A stretch comes after those that it follows on.
func (f *Forks) Each(fn func(s *Stretch, es []entry.Entry)) {
	for _, l := range f.logs {
		for _, s := range l.all {
			f.inherit(s)
			es := make([]entry.Entry, len(s.Entries))
			for i, e := range s.Entries {
				es[i] = f.read(e, s)
				es[i].Log = s.Name
			}
			fn(s, es)
		}
	}
}

// inherit has a stretch begin with what its log had named up to there.
func (f *Forks) inherit(s *Stretch) {
	if s.above == nil {
		return
	}
	for _, l := range f.logs {
		if at, ok := f.named[naming{s.above.Name, l.device.Log()}]; ok {
			f.name(naming{s.Name, l.device.Log()}, at)
		}
	}
}

func (f *Forks) name(n naming, s *Stretch) {
	if f.named == nil {
		f.named = map[naming]*Stretch{}
	}
	f.named[n] = s
}

// Forked says whether a log, by its device's name, is forked.
func (f *Forks) Forked(name entry.LogID) bool { return f.log(name) != nil }

func (f *Forks) log(name entry.LogID) *forked {
	for _, l := range f.logs {
		if l.device.Log() == name {
			return l
		}
	}
	return nil
}

// Read is an entry of a whole log as the fold takes it: what it says of a
// forked one is said of the branch that its hash names. What it refers to by
// number is on the branch that its writer had named last. Where no branch here
// has that hash, the entry has to wait. A log's entries must come in order.
func (f *Forks) Read(e entry.Entry) entry.Entry { return f.read(e, nil) }

// read is Read, for an entry of the stretch where there is one.
func (f *Forks) read(e entry.Entry, of *Stretch) entry.Entry {
	by := e.Log
	if of != nil {
		by = of.Name
	}
	seen := slices.Clone(e.Seen)
	for i := range seen {
		m := &seen[i]
		if s, forked := f.holder(*m); forked {
			f.name(naming{by, m.Log}, s)
			if s != nil {
				m.Log = s.Name
			} else {
				f.misses(*m)
			}
		}
	}
	to := func(id entry.ID) entry.ID {
		s := of
		if of == nil || id.Log != e.Log {
			s = f.named[naming{by, id.Log}]
		}
		if s = s.at(id.Seq); s != nil {
			id.Log = s.Name
		}
		return id
	}
	e.Seen, e.Person = seen, to(e.Person)
	e.Body = redirected(e.Body, to)
	return e
}

func (f *Forks) misses(m entry.Mark) {
	if f.missing == nil {
		f.missing = map[place]bool{}
	}
	f.missing[place{m.Seq, m.Hash}] = true
	for _, l := range f.logs {
		f.stale = f.stale || l.spare[place{m.Seq, m.Hash}]
	}
}

// Holds says whether an entry of a forked log was read.
func (f *Forks) Holds(m entry.Mark) bool {
	s, _ := f.holder(m)
	return s != nil
}

// holder is the stretch that holds the entry of a mark, nil where none does, and
// whether the mark is of a forked log at all. It goes by the hash: what was named
// as a branch's may be another's by now, as that has forked since.
func (f *Forks) holder(m entry.Mark) (s *Stretch, forked bool) {
	if l := f.log(m.Log); l != nil {
		return l.holder(m), true
	}
	if !m.Log.IsBranch() {
		return nil, false
	}
	for _, l := range f.logs {
		if s := l.holder(m); s != nil {
			return s, true
		}
	}
	return nil, true
}

// holder is the stretch that holds the entry of a mark; nil where none does.
func (l *forked) holder(m entry.Mark) *Stretch {
	for _, s := range l.all {
		if s.at(m.Seq) == s && s.Entries[m.Seq-s.Of.Seq-1].Hash == m.Hash {
			return s
		}
	}
	return nil
}

// redirected is a body with each reference put through to.
func redirected(b entry.Body, to func(entry.ID) entry.ID) entry.Body {
	var ids []entry.ID
	changed := false
	w := &writer{ref: func(id entry.ID) (uint64, error) {
		ids = append(ids, to(id))
		changed = changed || ids[len(ids)-1] != id
		return uint64(len(ids)), nil
	}}
	b.Fields(w)
	out := entry.New(b.Kind())
	if _, unknown := b.(*entry.Unknown); unknown || !changed || out == nil {
		return b
	}
	out.Fields(&reader{buf: w.buf, ref: func(n uint64, id *entry.ID) bool { *id = ids[n-1]; return true }})
	return out
}
