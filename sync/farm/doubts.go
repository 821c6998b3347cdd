package farm

import (
	"iter"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/fact"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/slip"
	"turnrow/sync/farm/tell"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
)

// doubts is all that is in doubt, and what was and is settled: the open ones
// first, each in the order of its entries.
func (s *core) doubts(v *view.View, boxes []*thing.Thing, flows []*work.Flow) (runs []doubtRun, opened int) {
	st := s.Settlements()
	var open doubtList
	var settled []conflict.Doubt
	have := map[string]bool{}
	sums := work.SumsOf(flows)
	put := func(f order.Finding, sl *slip.Slip) {
		ids := order.IDsOf(f.Recs)
		k := conflict.DoubtKey(string(f.Kind), ids)
		if have[k] {
			return
		}
		have[k] = true
		var d conflict.Doubt
		if told := open.n+len(settled) < tell.Told; sl != nil {
			d = s.TellSlip(sl, ids, told, false)
		} else {
			d = s.Tell(f, ids, told)
			if f.Kind == conflict.Balance {
				d.Why = sums[f.Recs[0]]
			}
		}
		if by, ok := st[k]; ok && by.Agreed && (sl == nil || sl.Confirms(by.By.Eff.(*entry.Settled))) {
			d.Settled, d.By = true, by.By.ID()
			settled = append(settled, d)
			return
		}
		open.add(d)
	}
	add := func(f order.Finding) { put(f, nil) }
	s.findings(boxes, flows, add, func(about message.Message, pairs []fact.Twins) {
		for from := 0; from < len(pairs); {
			n := from
			for n < len(pairs) && open.n+len(settled) >= tell.Told && !s.Covered(conflict.DoubleEntry, pairs[n][0]) && !s.Covered(conflict.DoubleEntry, pairs[n][1]) {
				n++
			}
			if n > from {
				open.addPairs(about, pairs[from:n])
				from = n
				continue
			}
			add(order.Finding{Kind: conflict.DoubleEntry, About: about, Recs: pairs[from][:]})
			from++
		}
	})
	found := s.AllSlips(v, boxes, flows)
	for i := range found {
		if found[i].AskOnly {
			continue
		}
		put(found[i].Finding, &found[i])
	}
	for _, r := range s.Settles.All() {
		b := r.Eff.(*entry.Settled)
		k := conflict.DoubtKey(b.Doubt, b.Entries)
		if by, ok := st[k]; ok && !have[k] {
			have[k] = true
			if d := s.settledDoubt(r, b, by.Agreed || ofField(conflict.DoubtKind(b.Doubt))); d.Settled {
				settled = append(settled, d)
			} else {
				open.add(d)
			}
		}
	}
	return append(open.runs, doubtRun{list: settled}), open.n
}

// doubtRun is some doubts in a row: a list, or pairs of entries that look
// written twice, so many that each is made a doubt only when it is looked at.
type doubtRun struct {
	list  []conflict.Doubt
	about message.Message
	pairs []fact.Twins
}

// doubtList is doubts in a row while it is made.
type doubtList struct {
	runs []doubtRun
	n    int // of doubts
}

func (l *doubtList) add(d conflict.Doubt) {
	if n := len(l.runs); n == 0 || l.runs[n-1].pairs != nil {
		l.runs = append(l.runs, doubtRun{})
	}
	last := &l.runs[len(l.runs)-1]
	last.list = append(last.list, d)
	l.n++
}

func (l *doubtList) addPairs(about message.Message, pairs []fact.Twins) {
	l.runs = append(l.runs, doubtRun{about: about, pairs: pairs})
	l.n += len(pairs)
}

// inARow gives the doubts of several runs.
func inARow(runs []doubtRun) iter.Seq[conflict.Doubt] {
	return func(yield func(conflict.Doubt) bool) {
		for i := range runs {
			if !runs[i].each(yield) {
				return
			}
		}
	}
}

func (r *doubtRun) each(yield func(conflict.Doubt) bool) bool {
	for _, d := range r.list {
		if !yield(d) {
			return false
		}
	}
	for _, p := range r.pairs {
		if !yield(tell.Untold(conflict.DoubleEntry, r.about, []entry.ID{p[0].ID(), p[1].ID()})) {
			return false
		}
	}
	return true
}

// ofField says whether a kind of doubt is about a field. Concurrent
// settlements of one each wrote to the field: where they differ, that is a doubt of
// its own, and the one before it is asked about no more.
func ofField(k conflict.DoubtKind) bool {
	return k == conflict.TwoPlans || k == conflict.TwoSettings
}

func (s *core) settledDoubt(r *order.Rec, b *entry.Settled, agreed bool) conflict.Doubt {
	f := order.Finding{Kind: conflict.DoubtKind(b.Doubt), About: s.AboutText(b.Entries)}
	for _, id := range b.Entries {
		if e := s.Find(id); e != nil {
			f.Recs = append(f.Recs, e)
		}
	}
	d := s.Tell(f, b.Entries, true)
	d.Settled, d.By = agreed, r.ID()
	return d
}

// findings gives all that is to be found to each, and the pairs of a box's
// entries that look written twice to doubles.
func (s *core) findings(boxes []*thing.Thing, flows []*work.Flow, each func(order.Finding), doubles func(about message.Message, pairs []fact.Twins)) {
	all := func(fs []order.Finding) {
		for i := range fs {
			each(fs[i])
		}
	}
	for _, k := range []thing.ThingKind{thing.Box, thing.Ground, thing.Lot, thing.Drill, thing.Person} {
		for _, t := range s.Sorted(k) {
			all(s.contested(t))
		}
	}
	for i, t := range boxes {
		doubles(s.ThingText(t), flows[i].Doubles)
		all(s.FlowDoubts(t, flows[i]))
	}
	for _, t := range s.Sorted(thing.Drill) {
		all(s.counterDoubts(t))
	}
	all(s.recordDoubts())
}

// contested finds the fields of a thing whose heads have different
// values.
func (s *core) contested(t *thing.Thing) []order.Finding {
	var out []order.Finding
	for i := range t.Fields {
		f := &t.Fields[i]
		rs := f.Contested()
		if rs == nil {
			continue
		}
		kind := conflict.TwoPlans
		if f.Num == thing.FieldDial {
			kind = conflict.TwoSettings
		}
		out = append(out, order.Finding{Kind: kind, About: s.FieldText(t, f.Field), Recs: rs})
	}
	return out
}

func (s *core) counterDoubts(t *thing.Thing) []order.Finding {
	l := s.CounterOf(t)
	about := s.ThingText(t)
	var out []order.Finding
	if len(l.Points) > 0 && l.Points[0].Open {
		out = append(out, order.Finding{Kind: conflict.CounterBegin, About: about, Recs: []*order.Rec{l.Points[0].Rec}})
	}
	for _, pair := range work.TwoBegins(l.Points) {
		out = append(out, order.Finding{Kind: conflict.TwoBegins, About: about, Recs: pair})
	}
	for _, pair := range work.TwoPieces(l.Points) {
		out = append(out, order.Finding{Kind: conflict.TwoPieces, About: about, Recs: pair})
	}
	return append(out, s.Together(conflict.WorkedUnready, about, s.WorkedUnready(t, l.Points))...)
}

// recordDoubts is what is in doubt about the record itself.
func (s *core) recordDoubts() []order.Finding {
	var out []order.Finding
	byDevice := map[*order.Log][2][]*order.Rec{}
	outside := slices.SortedFunc(slices.Values(s.Outside), (*order.Rec).Compare)
	for _, r := range outside {
		sets := byDevice[r.Log]
		switch r.Left {
		case order.NoRight, order.HasNoForce:
			sets[0] = append(sets[0], r)
		case order.AfterStop:
			sets[1] = append(sets[1], r)
		default:
			continue
		}
		byDevice[r.Log] = sets
	}
	for _, d := range s.LogsInOrder() {
		sets := byDevice[d]
		about := crew.DeviceText(d)
		out = append(out, s.Together(conflict.NoRight, about, sets[0])...)
		out = append(out, s.Together(conflict.AfterStop, about, sets[1])...)
	}
	out = append(out, s.oneInvite()...)
	out = append(out, s.Forks()...)
	out = append(out, s.sameNames()...)
	out = append(out, s.ClockDoubts()...)
	return append(out, s.amendedApart()...)
}

// oneInvite finds devices that were let in on one invite: a copied invite puts
// nobody out, and an owner stops the wrong one.
func (s *core) oneInvite() []order.Finding {
	if s.Membership == nil {
		return nil
	}
	var keys []entry.Key
	by := map[entry.Key][]*order.Rec{}
	for _, p := range s.Membership.Order {
		if !p.Joined() || p.Stopped() {
			continue
		}
		if b, ok := p.Firsts[0].Body.(*entry.DeviceEnrolled); ok && b.Invite != (entry.Key{}) {
			if by[b.Invite] == nil {
				keys = append(keys, b.Invite)
			}
			by[b.Invite] = append(by[b.Invite], p.Grants[0].By)
		}
	}
	var out []order.Finding
	for _, k := range keys {
		if rs := by[k]; len(rs) > 1 {
			slices.SortFunc(rs, (*order.Rec).Compare)
			who := s.Called(rs[0].Body.(*entry.Admitted).Person)
			out = append(out, order.Finding{Kind: conflict.OneInvite, About: message.Of("invite-of", who), Recs: rs})
		}
	}
	return out
}

// sameNames finds things of a kind that go by one name, made by concurrent
// entries.
func (s *core) sameNames() []order.Finding {
	var out []order.Finding
	for k := range thing.ThingKind(len(thing.ThingNames)) {
		ts := s.Sorted(k)
		for i, a := range ts {
			for _, b := range ts[i+1:] {
				if a.Text(thing.NameField(k)) == b.Text(thing.NameField(k)) && s.SameDrill(a, b) && order.Concurrent(a.Made, b.Made) {
					out = append(out, order.Finding{Kind: conflict.SameName, About: k.Named(message.Name{Of: a.ID, Name: a.Text(thing.NameField(k))}), Recs: []*order.Rec{a.Made, b.Made}})
				}
			}
		}
	}
	return out
}

// amendedApart finds entries with concurrent amendments to different words, or
// that one struck while another reworded them.
func (s *core) amendedApart() []order.Finding {
	var of []*order.Rec
	for _, r := range s.Edited {
		if fact.Diverged(r) != nil {
			of = append(of, r)
		}
	}
	slices.SortFunc(of, (*order.Rec).Compare)
	var out []order.Finding
	for _, r := range of {
		out = append(out, order.Finding{Kind: conflict.AmendedApart, About: s.AboutText(rule.About(r.Body)), Recs: fact.Diverged(r)})
	}
	return out
}
