package work

import (
	"bytes"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
)

// hitching is what bears on the hitch of one drill, up to some entry in the
// total order.
type hitching struct {
	s       *Work
	last    *order.Rec   // nil where all counts
	begun   []*order.Rec // that nothing which knew them ended
	ended   []*order.Rec
	signed  []*order.Rec
	holds   []*order.Rec
	release []*order.Rec
	Moved   *order.Rec
}

// HitchOf collects what bears on a drill's hitch, up to and with last; all of
// it where last is nil.
func (s *Work) HitchOf(id entry.ID, last *order.Rec) hitching {
	h := hitching{s: s, last: last}
	h.collect(s.DrillOf(id).Hitch.All(), last)
	if !id.IsZero() {
		h.collect(s.DrillOf(entry.ID{}).Hitch.All(), last)
	}
	all := h.begun
	h.begun = slices.DeleteFunc(slices.Clone(all), func(b *order.Rec) bool {
		knew := func(o *order.Rec) bool { return o.Knew(b) }
		return slices.ContainsFunc(all, knew) || slices.ContainsFunc(h.ended, knew)
	})
	return h
}

func (h *hitching) collect(rs []*order.Rec, last *order.Rec) {
	for _, r := range rs {
		if last != nil && r.Compare(last) > 0 {
			return
		}
		switch r.Body.(type) {
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
			h.Moved = r
		}
	}
}

// released is the first release of a hold, nil where it is open: by someone who
// knew it, and who may release holds still.
func (h *hitching) released(hold *order.Rec) *order.Rec {
	i := slices.IndexFunc(h.release, func(r *order.Rec) bool {
		b := r.Body.(*entry.HoldReleased)
		meant := len(b.Holds) == 0 || slices.Contains(b.Holds, hold.ID())
		return meant && r.Knew(hold) && h.signs(r)
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
func (h *hitching) signs(r *order.Rec) bool {
	return h.s.Trusted(r, h.last) >= entry.Operator
}

// signature is the first signature of an item that counts for hitch b: by
// someone allowed, and written knowing every unhitching there is.
func (h *hitching) signature(b *order.Rec, item int64) *order.Rec {
	for _, r := range h.signed {
		sig := r.Body.(*entry.ItemSigned)
		if sig.Hitch != b.ID() || sig.Item != item || !h.signs(r) {
			continue
		}
		if !slices.ContainsFunc(h.ended, func(u *order.Rec) bool { return !r.Knew(u) }) {
			return r
		}
	}
	return nil
}

// state is the hitch as it stands.
func (h *hitching) state() Hitch {
	var out Hitch
	for _, hold := range h.holds {
		b := hold.Body.(*entry.HoldRaised)
		if h.s.Refused(hold) {
			continue
		}
		line := Hold{Entry: hold.ID(), By: order.PersonID(hold), On: crew.OnWhose(hold), Why: b.Why, Wall: hold.Wall}
		if r := h.released(hold); r != nil {
			line.Release, line.ReleasedBy, line.ReleasedOn = r.ID(), order.PersonID(r), crew.OnWhose(r)
			out.Released = append(out.Released, line)
		} else if !hold.Log.Joined {
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

// HitchNow is the hitch of a drill by all that is here. While entries wait for
// others, nobody can say that no hold is among them.
func (s *Work) HitchNow(id entry.ID) Hitch {
	h := s.HitchOf(id, nil)
	out := h.state()
	for _, holds := range [][]Hold{out.Holds, out.Released, out.Strangers, out.Late} {
		for i := range holds {
			holds[i].Seen = s.holdSeen(&holds[i])
		}
	}
	if n := s.WaitingNow(); n > 0 {
		out.Missing = append(out.Missing, Missing{Why: Waiting, N: int64(n)})
		out.Ready = false
	}
	return out
}

// lateHold says whether a hold was raised on a device after it was stopped, and
// not as the first of these: one is heard, since whoever says stop is, until
// somebody releases one of them, and the others are shown.
func (h *hitching) lateHold(hold *order.Rec) bool {
	if hold.Left != order.AfterStop {
		return false
	}
	for _, o := range h.holds {
		if o.Left != order.AfterStop || o.Log.Signer() != hold.Log.Signer() || o == hold {
			continue
		}
		if o.Seq < hold.Seq || o.Seq == hold.Seq && bytes.Compare(o.Hash[:], hold.Hash[:]) < 0 || h.released(o) != nil {
			return true
		}
	}
	return false
}

// items fills in which checks are signed, and what is missing.
func (h *hitching) items(out *Hitch) {
	if len(h.begun) == 0 {
		out.Missing = append(out.Missing, Missing{Why: NoHitch})
		return
	}
	b := h.begun[len(h.begun)-1]
	begun := b.Body.(*entry.HitchBegun)
	out.Begun, out.Tractor, out.Checks = b.ID(), begun.Tractor, begun.Checks
	if len(h.begun) > 1 {
		out.Missing = append(out.Missing, Missing{Why: TwoHitches})
	}
	list := h.s.Checklist(begun.Checks)
	if list == nil {
		out.Missing = append(out.Missing, Missing{Why: NoList})
		return
	}
	out.Version = list.Version
	for i, it := range list.Items {
		n := int64(i + 1)
		if sig := h.signature(b, n); sig != nil {
			out.Signed = append(out.Signed, Signed{sig.ID(), n, it.Name, it.Required, order.PersonID(sig), crew.OnWhose(sig), sig.Wall})
		} else if it.Required {
			out.Missing = append(out.Missing, Missing{Why: Unsigned, Check: it.Name})
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
		list := r.Eff.(*entry.ChecksSet)
		if r.ID() == out.Checks {
			continue
		}
		for _, it := range list.Items {
			signed := slices.ContainsFunc(out.Signed, func(s Signed) bool { return s.Name == it.Name })
			if !it.Required || signed || slices.Contains(out.Missing, Missing{Why: Unsigned, Check: it.Name}) {
				continue
			}
			if slices.ContainsFunc(begun.Items, func(b entry.CheckItem) bool { return b.Name == it.Name }) {
				out.Missing = append(out.Missing, Missing{Why: Unsigned, Check: it.Name})
				continue
			}
			out.New = append(out.New, it.Name)
			out.Missing = append(out.Missing, Missing{NewCheck, it.Name, list.Version})
		}
	}
}

// listsInForce are the lists of checks that no later list's writer knew: one,
// or several that are concurrent. Work that is over is judged by the lists
// that its writer knew.
func (h *hitching) listsInForce() []*order.Rec {
	all := slices.Clone(h.s.Checks.All())
	if h.last != nil {
		all = slices.DeleteFunc(all, func(r *order.Rec) bool { return !h.last.Knew(r) })
	}
	return slices.DeleteFunc(slices.Clone(all), func(r *order.Rec) bool {
		return slices.ContainsFunc(all, func(o *order.Rec) bool { return o.Knew(r) })
	})
}

// Checklist is a list of checks; nil where it is not here.
func (s *Work) Checklist(id entry.ID) *entry.ChecksSet {
	r := s.Find(id)
	if r == nil || r.Left != order.Counts {
		return nil
	}
	b, _ := r.Body.(*entry.ChecksSet)
	return b
}

// WorkedUnready finds the readings that moved the counter of a drill while it
// was not ready: at no moment between the two readings, or with a hold open
// at the later one. A farm that has set no checks and raised no hold has
// nothing to be ready by.
func (s *Work) WorkedUnready(d *thing.Thing, pts []Point) []*order.Rec {
	if len(s.Checks.All()) == 0 && len(s.DrillOf(d.ID).Hitch.All()) == 0 && len(s.DrillOf(entry.ID{}).Hitch.All()) == 0 {
		return nil
	}
	var out []*order.Rec
	for i, p := range pts {
		if p.Total == p.From {
			continue
		}
		var before *order.Rec
		if i > 0 {
			before = pts[i-1].Rec
		}
		if i > 0 && pts[i-1].Begin && before.Compare(p.Rec) > 0 {
			before = nil // it was said later
		}
		if !s.readyBetween(d.ID, before, p.Rec) {
			out = append(out, p.Rec)
		}
	}
	return out
}

func (s *Work) readyBetween(id entry.ID, from, to *order.Rec) bool {
	at := func(r *order.Rec) Hitch {
		h := s.HitchOf(id, r)
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
	if from.Compare(to) > 0 { // by a clock that ran ahead
		from, to = to, from
	}
	return slices.ContainsFunc(slices.Concat(s.DrillOf(id).Hitch.All(), s.DrillOf(entry.ID{}).Hitch.All()), func(r *order.Rec) bool {
		return r.Compare(from) > 0 && r.Compare(to) < 0 && at(r).Ready
	})
}

// SignatureStands says how a signature stands to the hitch that it was given
// for: void, and why; or ended, the wall clock of what ended that hitch, where
// it counted until then; or neither, where it counts now.
func (s *Work) SignatureStands(r *order.Rec, sig *entry.ItemSigned) (void message.ID, ended int64) {
	b := s.Find(sig.Hitch)
	if b == nil {
		return "void.no-hitch", 0
	}
	begun, ok := b.Eff.(*entry.HitchBegun)
	if !ok {
		return "void.hitch-left-out", 0
	}
	h := hitching{s: s, last: s.hitchEnd(begun.Drill, b, r)}
	switch end := h.last; {
	case end != nil && r.Knew(end):
		return "void.late", 0
	case end != nil && !end.Knew(r) && end.Body.Kind() == entry.KindUnhitched:
		return "void.unhitched", 0
	case !h.signs(r):
		return "void.signer", 0
	case end != nil:
		return "", end.Wall
	}
	return "", 0
}

// hitchEnd is the first that ended hitch b of a drill as far as signature r
// goes: begun or unhitched by someone who knew of b, or unhitched by someone
// of whom r's writer did not know. It is nil while the hitch stands.
func (s *Work) hitchEnd(drill entry.ID, b, r *order.Rec) *order.Rec {
	for _, o := range s.DrillOf(drill).Hitch.All() {
		switch o.Eff.(type) {
		case *entry.HitchBegun:
			if o.Knew(b) {
				return o
			}
		case *entry.Unhitched:
			if o.Knew(b) || !r.Knew(o) {
				return o
			}
		}
	}
	return nil
}
