// Package naive is a second fold of the record, to hold the first one against.
// It sorts all entries, replays them from nothing and answers each question by
// going through all of them again, as plainly as can be: nothing is kept in
// place, nothing is saved, and no code of package farm is used. It is far too
// slow for a farm and just right for a simulated one.
package naive

import (
	"math"
	"slices"
	"strings"

	"turnrow/sync/entry"
)

// Fold is a farm's record, replayed.
type Fold struct {
	farm     entry.FarmID
	branches []Branch
	items    []*item // in total order
	causal   []*item // causes first: a device that joins by a slow clock begins before its invite
	byID     map[entry.ID]*item
	Waiting  int // entries whose causes are not here

	crew   []*item                   // those that say who belongs
	taken  []*item                   // stops, takings-in and settlements of places that have their say
	joins  map[entry.DeviceID]*place // how each device belongs
	proofs map[entry.ID]bool         // whether an enrolment carries the invite\'s signature
	joined map[entry.ID]entry.ID     // things that are one with another
	marks  map[Field][]write         // what each field was set to
}

// Branch is a branch of a forked log: its entries follow on one of another
// log, and are numbered on.
type Branch struct {
	Name entry.DeviceID
	Of   entry.ID
}

// before is the entry that one follows on in its log; none for the first.
func (f *Fold) before(id entry.ID) entry.ID {
	for _, b := range f.branches {
		if b.Name == id.Device && b.Of.Seq == id.Seq-1 {
			return b.Of
		}
	}
	return entry.ID{Device: id.Device, Seq: id.Seq - 1}
}

// signer is the device that signs a log; begins is the log that its first
// entry is in.
func (f *Fold) signer(d entry.DeviceID) (signer, begins entry.DeviceID) {
	signer, begins = d, d
	for again := true; again; {
		again = false
		for _, b := range f.branches {
			if b.Name == signer {
				if b.Of.Seq > 0 {
					begins = b.Of.Device
				}
				signer, again = b.Of.Device, true
			}
		}
	}
	return signer, begins
}

// item is an entry that took effect, with what follows from all others.
type item struct {
	entry.Entry
	knew map[entry.DeviceID]uint64
	who  entry.ID   // the person
	left string     // why it is left out; "" where it counts
	now  entry.Body // what it stands for; nil where for nothing
	eff  entry.Body // the same, things that are one taken as one
}

// place is how a device belongs to the farm.
type place struct {
	person entry.ID
	invite entry.ID
	joined bool
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
	f := &Fold{farm: farm, branches: branches, byID: map[entry.ID]*item{}, proofs: map[entry.ID]bool{}}
	f.order(es)
	f.knowledge()
	f.standing()
	f.effects()
	return f
}

// order puts the entries that can take effect in total order, causes first.
func (f *Fold) order(es []entry.Entry) {
	rest := map[entry.ID]entry.Entry{}
	for _, e := range es {
		rest[e.ID] = e
	}
	all := slices.SortedFunc(mapValues(rest), func(a, b entry.Entry) int { return a.Compare(&b) })
	for again := true; again; {
		again = false
		for _, e := range all {
			if f.byID[e.ID] == nil && f.caused(e) {
				it := &item{Entry: e}
				f.items = append(f.items, it)
				f.byID[e.ID] = it
				again = true
			}
		}
	}
	f.causal = slices.Clone(f.items)
	slices.SortStableFunc(f.items, func(a, b *item) int { return a.Compare(&b.Entry) })
	f.Waiting = len(all) - len(f.items)
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

func (f *Fold) caused(e entry.Entry) bool {
	if b := f.before(e.ID); b.Seq > 0 && f.byID[b] == nil {
		return false
	}
	for _, s := range e.Seen {
		if f.byID[s] == nil {
			return false
		}
	}
	return true
}

// knowledge works out what each entry's writer had seen: what it says, what it
// knew before, and what the writers of those entries knew.
func (f *Fold) knowledge() {
	for _, it := range f.causal {
		it.knew = map[entry.DeviceID]uint64{}
		learn := func(o *item) {
			if o == nil {
				return
			}
			for d, n := range o.knew {
				it.knew[d] = max(it.knew[d], n)
			}
			it.knew[o.Device] = max(it.knew[o.Device], o.Seq)
		}
		learn(f.byID[f.before(it.ID)])
		for _, s := range it.Seen {
			learn(f.byID[s])
		}
	}
}

// knows says whether a's writer had seen b.
func (a *item) knows(b *item) bool { return a != b && a.knew[b.Device] >= b.Seq }

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

// Stopped says whether entries of a device are left out beyond some number.
func (f *Fold) Stopped(d entry.DeviceID) bool { return f.limitOf(d) != math.MaxUint64 }

// Joined says whether a device belongs to the farm.
func (f *Fold) Joined(d entry.DeviceID) bool { return f.joins[d] != nil && f.joins[d].joined }

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
