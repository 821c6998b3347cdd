package naive

import (
	"bytes"
	"cmp"
	"slices"

	"turnrow/sync/entry"
)

// Hitch is how the hitch of a drill stands.
type Hitch struct {
	Ready  bool
	Holds  []entry.ID // open
	Signed []entry.ID // signatures that count for the hitch
	Why    string     // the first thing that stands against it
}

// Hitch is the hitch of a drill by all that is here. While entries of a device
// that stands wait for their causes nothing is ready: any of them may be a hold.
// Of a device that nobody let in or refused yet, a hold that waits is one too.
func (f *Fold) Hitch(drill entry.ID) Hitch {
	h := f.hitchAt(drill, nil)
	for _, e := range f.waits {
		_, hold := e.Body.(*entry.HoldRaised)
		if !f.Stopped(e.Log.Device()) && !f.Refused(e.Log.Device()) && (hold || f.Joined(e.Log.Device())) {
			h.Ready = false
		}
	}
	return h
}

// hitchAt is the hitch by the entries up to one in total order; by all where
// last is nil.
func (f *Fold) hitchAt(drill entry.ID, last *item) Hitch {
	var all []*item
	for _, it := range f.items {
		if last == nil || it.Compare(last) <= 0 {
			all = append(all, it)
		}
	}
	var h Hitch
	for _, it := range all {
		if f.holdsUp(it, drill) && f.stillHolds(it, drill, all) {
			h.Holds = append(h.Holds, it.ID)
		}
	}
	hitch := f.begun(drill, all)
	switch {
	case hitch == nil:
		h.Why = "not one hitch is begun"
		return h
	case len(h.Holds) > 0:
		h.Why = "a hold is open"
	}
	begun := hitch.eff.(*entry.HitchBegun)
	list := f.byID[begun.Checks]
	if list == nil || list.left != "" {
		h.Why = "the list is not known"
		return h
	}
	checks, ok := list.Body.(*entry.ChecksSet)
	if !ok {
		h.Why = "the list is none"
		return h
	}
	for i, c := range checks.Items {
		sig := f.signed(drill, hitch, int64(i+1), all)
		if sig != nil {
			h.Signed = append(h.Signed, sig.ID)
		} else if c.Required && h.Why == "" {
			h.Why = c.Name
		}
	}
	for _, c := range f.alsoRequired(begun.Checks, last) {
		n := slices.IndexFunc(checks.Items, func(o entry.CheckItem) bool { return o.Name == c })
		if h.Why == "" && (n < 0 || f.signed(drill, hitch, int64(n+1), all) == nil) {
			h.Why = "required by another list: " + c
		}
	}
	h.Ready = h.Why == ""
	return h
}

// alsoRequired names what lists besides the one given require: those that
// stand, and that no other list of the same farm replaced knowing it. At a
// moment in the past only what its writer had seen is asked for.
func (f *Fold) alsoRequired(but entry.ID, at *item) (names []string) {
	seen := func(it *item) bool { return at == nil || at.knows(it) }
	for _, it := range f.items {
		b, ok := it.now.(*entry.ChecksSet)
		if !ok || !seen(it) || it.ID == but {
			continue
		}
		replaced := false
		for _, o := range f.items {
			if _, ok := o.now.(*entry.ChecksSet); ok && seen(o) && o.knows(it) {
				replaced = true
			}
		}
		for _, c := range b.Items {
			if c.Required && !replaced {
				names = append(names, c.Name)
			}
		}
	}
	return names
}

// holdsUp says whether an entry is a hold on a drill. Whoever says stop is
// heard, with right or without.
func (f *Fold) holdsUp(it *item, drill entry.ID) bool {
	b, ok := it.Body.(*entry.HoldRaised)
	return ok && (f.canon(b.Drill) == drill || b.Drill.IsZero())
}

// stillHolds says whether a hold is open. Of a log that nobody let in it is,
// until the log is refused or stopped. Of what a device raised past its stop
// only the first is, and none once any of them was released: it could raise
// more for ever.
func (f *Fold) stillHolds(hold *item, drill entry.ID, all []*item) bool {
	switch hold.left {
	case NotJoined:
		if f.Refused(hold.Log.Device()) || f.Stopped(hold.Log.Device()) {
			return false
		}
	case AfterStop:
		for _, o := range all {
			if !f.holdsUp(o, drill) || o.left != AfterStop || f.dev(o) != f.dev(hold) {
				continue
			}
			first := cmp.Or(cmp.Compare(o.Seq, hold.Seq), bytes.Compare(o.Hash[:], hold.Hash[:])) >= 0
			if !first || f.released(o, drill, all) {
				return false
			}
		}
	}
	return !f.released(hold, drill, all)
}

// released: by someone who knew the hold and may release.
func (f *Fold) released(hold *item, drill entry.ID, all []*item) bool {
	for _, r := range all {
		b, ok := r.eff.(*entry.HoldReleased)
		if ok && b.Drill == drill && r.knows(hold) && slices.Contains(b.Holds, hold.ID) && f.mayBy(r, all) {
			return true
		}
	}
	return false
}

// mayBy says whether who wrote a signature or a release may sign by all that is
// here, or that was written up to some moment: nobody's signature counts for
// more than he is trusted with.
func (f *Fold) mayBy(it *item, all []*item) bool {
	may := func(acts []*act) bool {
		acts = slices.DeleteFunc(slices.Clone(acts), func(a *act) bool { return !slices.Contains(all, a.it) })
		return len(acts) > 0 && least(acts) >= levelOf(entry.Operator)
	}
	return may(f.lists(f.dev(it))) && (f.isOwn(f.dev(it), it.who) || may(f.personActs(it.who)))
}

// begun is the one hitch of a drill that nothing which knew it ended; nil where
// there is none, or more than one.
func (f *Fold) begun(drill entry.ID, all []*item) *item {
	var open []*item
	for _, it := range all {
		b, ok := it.eff.(*entry.HitchBegun)
		if !ok || b.Drill != drill {
			continue
		}
		ended := false
		for _, o := range all {
			ended = ended || o.knows(it) && ends(o, drill)
		}
		if !ended {
			open = append(open, it)
		}
	}
	if len(open) != 1 {
		return nil
	}
	return open[0]
}

// ends says whether an entry ends hitches of a drill that it knew.
func ends(it *item, drill entry.ID) bool {
	switch b := it.eff.(type) {
	case *entry.HitchBegun:
		return b.Drill == drill
	case *entry.Unhitched:
		return b.Drill == drill
	}
	return false
}

// signed is a signature of an item of a hitch that counts: by someone who may,
// who knew of every unhitching.
func (f *Fold) signed(drill entry.ID, hitch *item, n int64, all []*item) *item {
	for _, it := range all {
		b, ok := it.eff.(*entry.ItemSigned)
		if !ok || b.Hitch != hitch.ID || b.Item != n || !f.mayBy(it, all) {
			continue
		}
		good := true
		for _, u := range all {
			if b, ok := u.eff.(*entry.Unhitched); ok && b.Drill == drill && !it.knows(u) {
				good = false
			}
		}
		if good {
			return it
		}
	}
	return nil
}
