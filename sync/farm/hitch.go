package farm

import (
	"bytes"
	"fmt"
	"slices"

	"turnrow/sync/entry"
)

// hitching is what bears on the hitch of one drill, up to some entry in the
// total order.
type hitching struct {
	s       *workSt
	last    *rec   // nil where all counts
	begun   []*rec // that nothing which knew them ended
	ended   []*rec
	signed  []*rec
	holds   []*rec
	release []*rec
	moved   *rec
}

// hitchOf collects what bears on a drill's hitch, up to and with last; all of
// it where last is nil.
func (s *workSt) hitchOf(id entry.ID, last *rec) hitching {
	h := hitching{s: s, last: last}
	h.collect(s.drillOf(id).hitch.all(), last)
	if !id.IsZero() {
		h.collect(s.drillOf(entry.ID{}).hitch.all(), last)
	}
	all := h.begun
	h.begun = slices.DeleteFunc(slices.Clone(all), func(b *rec) bool {
		knew := func(o *rec) bool { return o.knew(b) }
		return slices.ContainsFunc(all, knew) || slices.ContainsFunc(h.ended, knew)
	})
	return h
}

func (h *hitching) collect(rs []*rec, last *rec) {
	for _, r := range rs {
		if last != nil && r.compare(last) > 0 {
			return
		}
		switch r.body.(type) {
		case *entry.HitchBegun:
			h.begun = append(h.begun, r)
		case *entry.Unhitched:
			h.ended = append(h.ended, r)
		case *entry.ItemSigned:
			h.signed = append(h.signed, r)
		case *entry.HoldRaised:
			h.holds = append(h.holds, r)
		case *entry.HoldReleased:
			h.release = append(h.release, r)
		case *entry.DrillMoved:
			h.moved = r
		}
	}
}

// released is the first release of a hold, nil where it is open: by someone who
// knew it, and who may release holds still.
func (h *hitching) released(hold *rec) *rec {
	i := slices.IndexFunc(h.release, func(r *rec) bool {
		b := r.body.(*entry.HoldReleased)
		meant := len(b.Holds) == 0 || slices.Contains(b.Holds, hold.id())
		return meant && r.knew(hold) && h.signs(r)
	})
	if i < 0 {
		return nil
	}
	return h.release[i]
}

// signs says whether who wrote r may sign and release, by all that is here. It
// is asked besides the right by what the writer knew: a signature never counts
// for more than its signer is trusted with. Of a day that is over it is asked
// by what had been written then.
func (h *hitching) signs(r *rec) bool {
	return h.s.trusted(r, h.last) >= entry.Operator
}

// signature is the first signature of an item that counts for hitch b: by
// someone allowed, and written knowing every unhitching there is.
func (h *hitching) signature(b *rec, item int64) *rec {
	for _, r := range h.signed {
		sig := r.body.(*entry.ItemSigned)
		if sig.Hitch != b.id() || sig.Item != item || !h.signs(r) {
			continue
		}
		if !slices.ContainsFunc(h.ended, func(u *rec) bool { return !r.knew(u) }) {
			return r
		}
	}
	return nil
}

// state is the hitch as it stands.
func (h *hitching) state() Hitch {
	var out Hitch
	for _, hold := range h.holds {
		b := hold.body.(*entry.HoldRaised)
		if h.s.refused(hold) {
			continue
		}
		line := Hold{Entry: hold.id(), By: personID(hold), On: onWhose(hold), Why: b.Why, Wall: hold.wall}
		if r := h.released(hold); r != nil {
			line.Release, line.ReleasedBy, line.ReleasedOn = r.id(), personID(r), onWhose(r)
			out.Released = append(out.Released, line)
		} else if !hold.dev.joined {
			out.Strangers = append(out.Strangers, line)
		} else if h.lateHold(hold) {
			out.Late = append(out.Late, line)
		} else {
			out.Holds = append(out.Holds, line)
		}
	}
	h.items(&out)
	out.Ready = len(out.Missing) == 0 && len(out.Holds) == 0 && len(out.Strangers) == 0
	return out
}

// hitchNow is the hitch of a drill by all that is here. While entries wait for
// others, nobody can say that no hold is among them.
func (s *workSt) hitchNow(id entry.ID) Hitch {
	h := s.hitchOf(id, nil)
	out := h.state()
	if n := s.waitingNow(); n > 0 {
		out.Missing = append(out.Missing, fmt.Sprintf("%d notes that wait for others not here yet", n))
		out.Ready = false
	}
	return out
}

// waitingNow is the entries that wait and that may stop work: those of devices
// that stand, and holds of any device that was not refused. A stop of their
// device ends that.
func (s *crewSt) waitingNow() (n int) {
	for _, d := range s.devices {
		post := s.postOf(d)
		if len(d.wait) == 0 || post != nil && post.stopped() || s.outcast(d) {
			continue
		}
		for i := range d.wait {
			if _, hold := d.wait[i].Body.(*entry.HoldRaised); hold || post != nil && post.joined() {
				n++
			}
		}
	}
	return n
}

// postOf is the post of the device that signs a log, of which nothing but what
// waits may be here.
func (s *crewSt) postOf(d *device) *post {
	if p := s.post(d); p != nil || s.stand == nil {
		return p
	}
	return s.stand.posts[d.signer()]
}

// refused says whether an owner has the device of an entry stay out.
func (s *crewSt) refused(r *rec) bool { return s.outcast(r.dev) }

// outcast says whether an owner has a device stay out, of which nothing but
// what waits may be here.
func (s *crewSt) outcast(d *device) bool {
	if post := s.postOf(d); post != nil {
		return post.refused()
	}
	return s.stand != nil && len(d.wait) > 0 && slices.Contains(s.stand.refuse, d.wait[0].Mark())
}

// lateHold says whether a hold was raised on a device after it was stopped, and
// not as the first of these: one is heard, since whoever says stop is, until
// somebody releases one of them, and the others are shown.
func (h *hitching) lateHold(hold *rec) bool {
	if hold.left != afterStop {
		return false
	}
	for _, o := range h.holds {
		if o.left != afterStop || o.dev.signer() != hold.dev.signer() || o == hold {
			continue
		}
		if o.seq < hold.seq || o.seq == hold.seq && bytes.Compare(o.hash[:], hold.hash[:]) < 0 || h.released(o) != nil {
			return true
		}
	}
	return false
}

// items fills in which checks are signed, and what is missing.
func (h *hitching) items(out *Hitch) {
	if len(h.begun) == 0 {
		out.Missing = append(out.Missing, "no hitch is begun")
		return
	}
	b := h.begun[len(h.begun)-1]
	begun := b.body.(*entry.HitchBegun)
	out.Begun, out.Tractor, out.Checks = b.id(), begun.Tractor, begun.Checks
	if len(h.begun) > 1 {
		out.Missing = append(out.Missing, "two hitches were begun apart: end them and begin again")
	}
	list := h.s.checklist(begun.Checks)
	if list == nil {
		out.Missing = append(out.Missing, "the list of checks is not known")
		return
	}
	out.Version = list.Version
	for i, it := range list.Items {
		n := int64(i + 1)
		if sig := h.signature(b, n); sig != nil {
			out.Signed = append(out.Signed, Signed{sig.id(), n, it.Name, it.Required, personID(sig), onWhose(sig), sig.wall})
		} else if it.Required {
			out.Missing = append(out.Missing, it.Name)
		}
	}
	h.newChecks(list, out)
}

// newChecks adds to what is missing the checks that lists set since the hitch
// was begun require, and that nobody signed: a list that comes while the drill
// is hitched counts at once. A check that both lists name is one check. One
// that only the newer list names cannot be signed for this hitch.
func (h *hitching) newChecks(begun *entry.ChecksSet, out *Hitch) {
	for _, r := range h.listsInForce() {
		list := r.eff.(*entry.ChecksSet)
		if r.id() == out.Checks {
			continue
		}
		for _, it := range list.Items {
			signed := slices.ContainsFunc(out.Signed, func(s Signed) bool { return s.Name == it.Name })
			if !it.Required || signed || slices.Contains(out.Missing, it.Name) {
				continue
			}
			if slices.ContainsFunc(begun.Items, func(b entry.CheckItem) bool { return b.Name == it.Name }) {
				out.Missing = append(out.Missing, it.Name)
				continue
			}
			out.New = append(out.New, it.Name)
			out.Missing = append(out.Missing, fmt.Sprintf("%s (new on list %d: begin the hitch again)", it.Name, list.Version))
		}
	}
}

// listsInForce are the lists of checks that no later list's writer knew: one,
// or several that were set apart. Work that is over is judged by the lists
// that its writer knew.
func (h *hitching) listsInForce() []*rec {
	all := slices.Clone(h.s.checks.all())
	if h.last != nil {
		all = slices.DeleteFunc(all, func(r *rec) bool { return !h.last.knew(r) })
	}
	return slices.DeleteFunc(slices.Clone(all), func(r *rec) bool {
		return slices.ContainsFunc(all, func(o *rec) bool { return o.knew(r) })
	})
}

func (s *workSt) checklist(id entry.ID) *entry.ChecksSet {
	r := s.find(id)
	if r == nil || r.left != counts {
		return nil
	}
	b, _ := r.body.(*entry.ChecksSet)
	return b
}

// workedUnready finds the readings that moved the counter of a drill while it
// was not ready: at no moment between the two readings, or with a hold open
// at the later one. A farm that has set no checks and raised no hold has
// nothing to be ready by.
func (s *workSt) workedUnready(d *thing, pts []point) []*rec {
	if len(s.checks.all()) == 0 && len(s.drillOf(d.id).hitch.all()) == 0 && len(s.drillOf(entry.ID{}).hitch.all()) == 0 {
		return nil
	}
	var out []*rec
	for i, p := range pts {
		if p.total == p.from {
			continue
		}
		var before *rec
		if i > 0 {
			before = pts[i-1].rec
		}
		if i > 0 && pts[i-1].begin && before.compare(p.rec) > 0 {
			before = nil // it was said later
		}
		if !s.readyBetween(d.id, before, p.rec) {
			out = append(out, p.rec)
		}
	}
	return out
}

func (s *workSt) readyBetween(id entry.ID, from, to *rec) bool {
	at := func(r *rec) Hitch {
		h := s.hitchOf(id, r)
		return h.state()
	}
	end := at(to)
	if len(end.Holds) > 0 {
		return false
	}
	if end.Ready || from == nil {
		return end.Ready
	}
	if at(from).Ready {
		return true
	}
	if from.compare(to) > 0 { // by a clock that ran ahead
		from, to = to, from
	}
	return slices.ContainsFunc(slices.Concat(s.drillOf(id).hitch.all(), s.drillOf(entry.ID{}).hitch.all()), func(r *rec) bool {
		return r.compare(from) > 0 && r.compare(to) < 0 && at(r).Ready
	})
}

func personID(r *rec) entry.ID {
	if r.by == nil {
		return entry.ID{}
	}
	return *r.by
}

// onWhose is the device that an entry was written on, where it is another
// person's than its writer's own.
func onWhose(r *rec) On {
	owner := r.dev.person
	if owner == nil || owner == r.by {
		return On{}
	}
	return On{Device: deviceName(r.dev), Whose: *owner}
}

// signatureStands says how a signature stands to the hitch that it was given
// for: void, and why; or ended, the wall clock of what ended that hitch, where
// it counted until then; or neither, where it counts now.
func (s *workSt) signatureStands(r *rec, sig *entry.ItemSigned) (void string, ended int64) {
	b := s.find(sig.Hitch)
	if b == nil {
		return "the hitch that it is for is not here", 0
	}
	begun, ok := b.eff.(*entry.HitchBegun)
	if !ok {
		return "the hitch that it is for does not count", 0
	}
	h := hitching{s: s, last: s.hitchEnd(begun.Drill, b, r)}
	switch end := h.last; {
	case end != nil && r.knew(end):
		return "signed after its hitch had ended", 0
	case end != nil && !end.knew(r) && end.body.Kind() == entry.KindUnhitched:
		return "unhitched by someone who did not know of it", 0
	case !h.signs(r):
		return "its signer may not sign", 0
	case end != nil:
		return "", end.wall
	}
	return "", 0
}

// hitchEnd is the first that ended hitch b of a drill as far as signature r
// goes: begun or unhitched by someone who knew of b, or unhitched by someone
// of whom r's writer did not know. It is nil while the hitch stands.
func (s *workSt) hitchEnd(drill entry.ID, b, r *rec) *rec {
	for _, o := range s.drillOf(drill).hitch.all() {
		switch o.eff.(type) {
		case *entry.HitchBegun:
			if o.knew(b) {
				return o
			}
		case *entry.Unhitched:
			if o.knew(b) || !r.knew(o) {
				return o
			}
		}
	}
	return nil
}
