// Package naive is a second fold of the record, to hold the first one against.
// It sorts all entries, replays them from nothing and answers each question by
// going through all of them again, as plainly as can be: nothing is kept in
// place, nothing is saved, and no code of package farm is used. It is far too
// slow for a farm and just right for a simulated one.
package naive

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// Fold is a farm's record, replayed.
type Fold struct {
	farm     entry.FarmID
	branches []Branch
	items    []*item // in total order
	causal   []*item // causes first
	byID     map[entry.ID]*item
	byMark   map[entry.Mark]*item // by the device that signs, number and hash
	waits    []entry.Entry        // whose causes are not here
	held     map[entry.Mark]bool  // all entries, those that wait too
	ever     map[entry.Mark]bool  // first entries of devices that were ever let in
	fit      map[fitting]bool     // which recoveries fit which codes
	chosen   map[*item]choice     // what settlements picked, of those that were asked
	Waiting  int                  // number of entries whose causes are not here

	posts    map[entry.DeviceID]*post // devices, by who signs
	founder  *item                    // the entry that founded the farm
	follow   map[entry.Key][]entry.Key
	recovers map[*item]bool      // first entries that a code on paper fits
	heard    map[*item]bool      // entries about the crew that their writers might write
	acts     []*act              // what those do, in the order in which they are heard
	takings  []*item             // that take in what a stopped device noted
	refused  map[entry.Mark]bool // first entries of logs that stay out
	proofs   map[entry.Mark]bool // whether an enrolment carries its invite's signature, where a test says it

	joined map[entry.ID]entry.ID // things that are one with another
	marks  map[Field][]write     // what each field was set to
}

// Branch is a branch of a forked log: its entries follow on one of another
// log, and are numbered on.
type Branch struct {
	Name entry.LogID
	Of   entry.ID
}

// before is the entry that one follows on in its log; none for the first.
func (f *Fold) before(id entry.ID) entry.ID {
	for _, b := range f.branches {
		if b.Name == id.Log && b.Of.Seq == id.Seq-1 {
			return b.Of
		}
	}
	return entry.ID{Log: id.Log, Seq: id.Seq - 1}
}

// signer is the device that signs a log; begins is the log that its first
// entry is in.
func (f *Fold) signer(log entry.LogID) (signer entry.DeviceID, begins entry.LogID) {
	begins = log
	for again := true; again; {
		again = false
		for _, b := range f.branches {
			if b.Name == log {
				if b.Of.Seq > 0 {
					begins = b.Of.Log
				}
				log, again = b.Of.Log, true
			}
		}
	}
	return log.Device(), begins
}

// item is an entry that took effect, with what follows from all others.
type item struct {
	entry.Entry
	knew  map[entry.LogID]uint64
	round uint64     // with time, where it is in the total order
	time  hlc.Time   // no less than its clock, unless a round began
	who   entry.ID   // the person
	left  string     // why it is left out; "" where it counts
	now   entry.Body // what it stands for; nil where for nothing
	eff   entry.Body // the same, things that are one taken as one
}

// Why an entry is left out.
const (
	NoRight   = "no right"
	AfterStop = "after stop"
	NotJoined = "not joined"
	NotKnown  = "not known"
	NoForce   = "no force"
)

// Replay folds entries, in whatever order and however often they come.
func Replay(farm entry.FarmID, es []entry.Entry, branches ...Branch) *Fold {
	isWord := func(b Branch) bool { return b.Name == chain.Full(b.Of.Log.Device()) } // on a log, and none of its branches
	branches = slices.DeleteFunc(slices.Clone(branches), isWord)
	f := &Fold{farm: farm, branches: branches, proofs: map[entry.Mark]bool{}}
	f.order(es)
	f.standing()
	f.effects()
	return f
}

// order finds the entries that can take effect, causes first, what each knew
// and where it is in the total order.
func (f *Fold) order(es []entry.Entry) {
	f.byID, f.byMark, f.held = map[entry.ID]*item{}, map[entry.Mark]*item{}, map[entry.Mark]bool{}
	rest := map[entry.ID]entry.Entry{}
	for _, e := range es {
		rest[e.ID] = e
		f.held[f.markOf(&e)] = true
	}
	all := slices.SortedFunc(mapValues(rest), func(a, b entry.Entry) int { return a.ID.Compare(b.ID) })
	for again := true; again; {
		again = false
		for _, e := range all {
			if f.byID[e.ID] == nil && f.caused(e) {
				it := &item{Entry: e}
				f.items = append(f.items, it)
				f.byID[e.ID] = it
				f.byMark[f.markOf(&e)] = it
				f.learn(it)
				if lettingIn(e.Body) {
					f.letEver()
				}
				again = true
			}
		}
	}
	for _, e := range all {
		if f.byID[e.ID] == nil {
			f.waits = append(f.waits, e)
		}
	}
	f.causal = slices.Clone(f.items)
	slices.SortStableFunc(f.items, func(a, b *item) int { return a.Compare(b) })
	f.Waiting = len(f.waits)
}

// markOf is an entry's mark, by the device that signs it.
func (f *Fold) markOf(e *entry.Entry) entry.Mark {
	m := e.Mark()
	m.Log = f.markDevice(m).Log()
	return m
}

func mapValues(m map[entry.ID]entry.Entry) func(func(entry.Entry) bool) {
	return func(yield func(entry.Entry) bool) {
		for _, e := range m {
			if !yield(e) {
				return
			}
		}
	}
}

// caused says whether all causes of an entry are here: the one before it in
// its log, and those that it names, each with its hash, in logs that everybody
// keeps.
func (f *Fold) caused(e entry.Entry) bool {
	if b := f.before(e.ID); b.Seq > 0 && f.byID[b] == nil {
		return false
	}
	for _, m := range e.Seen {
		if o := f.marked(m); o == nil || !f.mayName(&e, o) {
			return false
		}
	}
	return true
}

// hour is an hour of the clock.
const hour = hlc.Time(3_600_000) << 16

// learn works out what an entry's writer had seen: what it says, what it knew
// before, and what the writers of those entries knew. And its place after all
// of these: at its own clock where that is later, at the next tick where it is
// at most an hour behind, and in a new round where it is further back.
func (f *Fold) learn(it *item) {
	it.knew = map[entry.LogID]uint64{}
	causes := []*item{f.byID[f.before(it.ID)]}
	for _, m := range it.Seen {
		causes = append(causes, f.marked(m))
	}
	var last item // the latest of them
	for _, o := range causes {
		if o == nil {
			continue
		}
		for d, n := range o.knew {
			it.knew[d] = max(it.knew[d], n)
		}
		it.knew[o.Log] = max(it.knew[o.Log], o.Seq)
		if o.round > last.round || o.round == last.round && o.time > last.time {
			last.round, last.time = o.round, o.time
		}
	}
	switch {
	case it.Clock > last.time:
		it.round, it.time = last.round, it.Clock
	case last.time-it.Clock <= hour && last.time+1 != 0:
		it.round, it.time = last.round, last.time+1
	default:
		it.round, it.time = last.round+1, it.Clock
	}
}

// Compare is the total order: by place, then device, number and hash.
func (a *item) Compare(b *item) int {
	return cmp.Or(cmp.Compare(a.round, b.round), cmp.Compare(a.time, b.time), a.ID.Compare(b.ID),
		bytes.Compare(a.Hash[:], b.Hash[:]))
}

// knows says whether a's writer had seen b.
func (a *item) knows(b *item) bool { return a != b && a.knew[b.Log] >= b.Seq }

// apart says whether neither writer had seen the other.
func apart(a, b *item) bool { return a != b && !a.knows(b) && !b.knows(a) }

// Left is why an entry is left out of the state; "" where it counts, and false
// where it has not taken effect.
func (f *Fold) Left(id entry.ID) (string, bool) {
	it := f.byID[id]
	if it == nil {
		return "", false
	}
	return it.left, true
}

// Stands is what an entry stands for now: nil where for nothing.
func (f *Fold) Stands(id entry.ID) entry.Body {
	if it := f.byID[id]; it != nil {
		return it.now
	}
	return nil
}

// counting are the items of a kind that stand for something, in order.
func counting[B entry.Body](f *Fold, fn func(*item, B)) {
	for _, it := range f.items {
		if b, ok := it.eff.(B); ok {
			fn(it, b)
		}
	}
}

func ids(items []*item) []entry.ID {
	out := make([]entry.ID, len(items))
	for i, it := range items {
		out[i] = it.ID
	}
	return out
}

// key names a doubt by its kind and entries, in whatever order they are given.
func key(kind string, es []entry.ID) string {
	es = slices.Clone(es)
	slices.SortFunc(es, entry.ID.Compare)
	parts := []string{kind}
	for _, id := range es {
		parts = append(parts, id.String())
	}
	return strings.Join(parts, " ")
}
