package farm

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// settlement is what the settlements of one doubt come to.
type settlement struct {
	by     *rec // the latest, in total order
	agreed bool // those that no later one knew say the same
}

// settlements groups the settlements by the doubt that they settle.
func (s *factSt) settlements() map[string]settlement {
	byKey := map[string][]*rec{}
	var keys []string
	for _, r := range s.settles.all() {
		b := r.eff.(*entry.Settled)
		if !s.says(b) {
			continue
		}
		k := doubtKey(b.Doubt, b.Entries)
		if _, ok := byKey[k]; !ok {
			keys = append(keys, k)
		}
		byKey[k] = append(byKey[k], r)
	}
	out := make(map[string]settlement, len(keys))
	for _, k := range keys {
		out[k] = agree(byKey[k])
	}
	return out
}

func agree(rs []*rec) settlement {
	var heads []*rec
	for _, r := range rs {
		heads = slices.DeleteFunc(heads, func(h *rec) bool { return r.knew(h) })
		heads = append(heads, r)
	}
	st := settlement{by: rs[len(rs)-1], agreed: true}
	for _, h := range heads {
		st.agreed = st.agreed && sameOutcome(h.eff.(*entry.Settled), st.by.eff.(*entry.Settled))
	}
	return st
}

// says whether a settlement says what its kind of doubt asks: what a dial reads,
// since it is one thing on one machine and someone has to look; or which of the
// entries stands.
func (s *factSt) says(b *entry.Settled) bool {
	if DoubtKind(b.Doubt) == CounterBegin {
		return s.saysBegin(b)
	}
	return says(b)
}

// saysBegin says whether a settlement says where the counter stood before the
// reading that it is about.
func (s *factSt) saysBegin(b *entry.Settled) bool {
	if len(b.Entries) != 1 || b.Choice != entry.BeganAt || !b.Value.Set {
		return false
	}
	r := s.find(b.Entries[0])
	if r == nil {
		return false
	}
	read, ok := r.eff.(*entry.MeterRead)
	return ok && units.Reading(b.Value.Val) <= read.Reading
}

// says is the same of a kind whose settlement says enough by itself.
func says(b *entry.Settled) bool {
	for _, id := range b.Stands {
		if !slices.Contains(b.Entries, id) {
			return false
		}
	}
	switch DoubtKind(b.Doubt) {
	case TwoSettings:
		return b.Dial.Set
	case TwoPlans:
		return len(b.Stands) == 1
	case DoubleEntry, TwoBegins:
		return len(b.Stands) > 0
	case CounterBack:
		return len(b.Entries) == 1 && (b.Choice == entry.Instead || b.Value.Set && (b.Choice == entry.AsWritten || b.Choice == entry.SetBack))
	case TwoSeeds:
		return len(b.Entries) == 1 && (b.Choice == entry.Blended || b.Choice == entry.Layered)
	}
	return !DoubtKind(b.Doubt).IsSlip() || b.Choice == entry.AsWritten || b.Choice == entry.Instead
}

// sameOutcome says whether two settlements of one doubt come to the same. Where
// there is nothing to choose, it is enough that somebody looked.
func sameOutcome(a, b *entry.Settled) bool {
	switch DoubtKind(a.Doubt) {
	case TwoSettings, TwoPlans, DoubleEntry, SameName, TwoBegins:
		return slices.Equal(a.Stands, b.Stands) && a.Dial == b.Dial
	case CounterBegin:
		return a.Choice == b.Choice && a.Value == b.Value
	case TwoSeeds:
		return a.Choice == b.Choice
	}
	return !DoubtKind(a.Doubt).IsSlip() || a.Choice == b.Choice && a.Value == b.Value
}

// looked is an entry that some settlement of a kind of doubt names.
type looked struct {
	kind  string
	entry entry.ID
}

// lookedAt is what the settlements name.
func (s *factSt) lookedAt() map[looked]bool {
	at := map[looked]bool{}
	for _, st := range s.settles.all() {
		b := st.eff.(*entry.Settled)
		for _, id := range b.Entries {
			at[looked{b.Doubt, id}] = true
		}
	}
	return at
}

// blendedBy is the fills that people say were mixed with what was there before
// them. Where they say otherwise apart, it is in doubt still.
func (s *factSt) blendedBy() map[entry.ID]bool {
	var of []entry.ID
	said := map[entry.ID][]*rec{}
	for _, r := range s.settles.all() {
		if b := r.eff.(*entry.Settled); b.Doubt == string(TwoSeeds) && says(b) {
			if _, ok := said[b.Entries[0]]; !ok {
				of = append(of, b.Entries[0])
			}
			said[b.Entries[0]] = append(said[b.Entries[0]], r)
		}
	}
	out := make(map[entry.ID]bool, len(of))
	for _, id := range of {
		st := agree(said[id])
		out[id] = st.agreed && st.by.eff.(*entry.Settled).Choice == entry.Blended
	}
	return out
}

// covered says whether some settlement of a kind names an entry.
func (s *factSt) covered(kind DoubtKind, r *rec) bool {
	return len(s.looked) > 0 && s.looked[looked{string(kind), r.id()}] // mostly there are none, and the entry need not be fetched
}

// anySettled says whether some settlement of a kind that names an entry is such.
func (s *factSt) anySettled(kind DoubtKind, r *rec, is func(*entry.Settled) bool) bool {
	return s.covered(kind, r) && slices.ContainsFunc(s.settles.all(), func(by *rec) bool {
		b := by.eff.(*entry.Settled)
		return b.Doubt == string(kind) && slices.Contains(b.Entries, r.id()) && is(b)
	})
}

// settlesCrew says whether a body decides who belongs to the farm, or what
// somebody may do there: that is an owner's, and is not struck.
func (s *crewSt) settlesCrew(b entry.Body) bool {
	st, ok := b.(*entry.Settled)
	if !ok || st.Doubt != string(TwoPlans) && st.Doubt != string(OneInvite) {
		return false
	}
	return slices.ContainsFunc(st.Entries, func(id entry.ID) bool {
		r := s.find(id)
		return r != nil && aboutCrew(r.body.Kind())
	})
}

// roleChoice is a role that a settlement chose for a person.
type roleChoice struct {
	who  entry.ID
	role entry.Role
}

// chooseRole notes the role that a settlement chose for a person, of two or more
// that entries gave. That never changes, since its writer knew them; and it is
// worked out once, since settlements may name settlements, that name others.
func (s *crewSt) chooseRole(r *rec, b *entry.Settled) {
	if b.Doubt != string(TwoPlans) || !says(b) {
		return
	}
	var given []entry.ID
	var c roleChoice
	for _, id := range b.Entries {
		of := s.find(id)
		if of == nil || !r.knew(of) || slices.Contains(given, id) {
			continue
		}
		w, got := s.gives(of)
		if got == entry.NoRole || !c.who.IsZero() && w != c.who {
			continue
		}
		given, c.who = append(given, id), w
		if id == b.Stands[0] {
			c.role = got
		}
	}
	if len(given) < 2 || c.role == entry.NoRole {
		return
	}
	if s.chosen == nil {
		s.chosen = map[*rec]roleChoice{}
	}
	s.chosen[r] = c
}

// roleSettled is the role that a settlement chose for a person; NoRole where it
// chose none.
func (s *crewSt) roleSettled(r *rec) (who entry.ID, role entry.Role) {
	c := s.chosen[r]
	return c.who, c.role
}

// gives is the role that an entry gives a person.
func (s *crewSt) gives(r *rec) (entry.ID, entry.Role) {
	switch b := r.body.(type) {
	case *entry.MemberAdded:
		return r.id(), b.Role
	case *entry.MemberChanged:
		return b.Member, b.Role
	case *entry.Settled:
		return s.roleSettled(r)
	}
	return entry.ID{}, entry.NoRole
}

// putSettled lets a settlement take effect: of a double entry it sets aside
// those that do not stand, in a field that its entries contest it is a write of
// its own.
func (s *factSt) putSettled(r *rec, b *entry.Settled, on bool) {
	inSet(&s.settles, r, on)
	switch DoubtKind(b.Doubt) {
	case DoubleEntry, TwoBegins:
		for _, id := range b.Entries {
			if of := s.find(id); of != nil && setsAside(b, of.body) && says(b) {
				s.edit(r, id, on)
			}
		}
	case SameName, NearName:
		s.rejoin = true
	case TwoSettings, TwoPlans:
		s.nameIn(r, b, on)
		if on {
			s.choose(r, b)
		} else {
			s.unchoose(r)
		}
	}
}

// setsAside says whether a settlement may set a body aside: a fill or a drain
// that was written twice, or one begin of two.
func setsAside(by *entry.Settled, b entry.Body) bool {
	switch b := b.(type) {
	case *entry.Filled, *entry.VolumeFilled, *entry.Drained:
		return by.Doubt == string(DoubleEntry)
	case *entry.CounterStood:
		return by.Doubt == string(TwoBegins)
	case *entry.Settled:
		return by.Doubt == string(TwoBegins) && b.Doubt == string(CounterBegin)
	}
	return false
}

// chosen is a field that a settlement has its say in.
type chosen struct {
	thing *thing
	field field
}

// nameIn keeps which settlements of fields name an entry.
func (s *factSt) nameIn(r *rec, b *entry.Settled, on bool) {
	for _, id := range b.Entries {
		if on {
			s.named[id] = append(s.named[id], r)
		} else {
			s.named[id] = slices.DeleteFunc(slices.Clone(s.named[id]), func(o *rec) bool { return o == r })
		}
	}
}

// choose writes a settlement's value to each field that two or more of its
// entries write: what was read on the dial, or the value of the one that
// stands.
func (s *factSt) choose(r *rec, b *entry.Settled) {
	looked := b.Doubt == string(TwoSettings)
	w := write{by: r, val: value{n: int64(b.Dial.Val)}}
	if !looked && len(b.Stands) == 1 {
		w.from = s.find(b.Stands[0])
	}
	if !says(b) || looked != b.Dial.Set || !looked && w.from == nil {
		return
	}
	for _, c := range s.writtenBy(b.Entries) {
		if (c.field.num == fieldDial) == looked {
			c.thing.reg(c.field, true).put(w)
			s.placed[r] = append(s.placed[r], c)
		}
	}
}

func (s *factSt) unchoose(r *rec) {
	for _, c := range s.placed[r] {
		c.thing.reg(c.field, true).take(r)
	}
	delete(s.placed, r)
}

// writtenBy is the fields that two or more of the entries write.
func (s *factSt) writtenBy(ids []entry.ID) []chosen {
	var once, twice []chosen
	for i, id := range ids {
		if slices.Contains(ids[:i], id) {
			continue
		}
		for _, c := range s.writes(s.find(id)) {
			switch {
			case slices.Contains(twice, c):
			case slices.Contains(once, c):
				twice = append(twice, c)
			default:
				once = append(once, c)
			}
		}
	}
	return twice
}

// writes is the fields that an entry writes now.
func (s *factSt) writes(r *rec) []chosen {
	if r == nil || r.eff == nil {
		return nil
	}
	if _, settles := r.eff.(*entry.Settled); settles {
		return s.placed[r]
	}
	ids := about(r.eff)
	if len(ids) == 0 || ids[0].IsZero() {
		return s.writesOf(s.things[r.id()], r, nil)
	}
	out := s.writesOf(s.things[s.canon(ids[0])], r, nil)
	if b, ok := r.eff.(*entry.GroundFinished); ok { // it is about a drill as well
		out = s.writesOf(s.things[s.canon(b.Drill)], r, out)
	}
	return out
}

// writesOf adds the fields of a thing that an entry writes.
func (s *factSt) writesOf(t *thing, r *rec, out []chosen) []chosen {
	if t == nil {
		return out
	}
	for i := range t.fields {
		f := &t.fields[i]
		if slices.ContainsFunc(f.writes, func(w write) bool { return w.by == r }) {
			out = append(out, chosen{t, f.field})
		}
	}
	return out
}

// rechoose has the settlements that name an entry, and those that name them,
// choose anew around a change of what the entry stands for.
func (s *factSt) rechoose(r *rec, change func()) {
	all := s.settling(r, nil)
	for _, st := range all {
		s.unchoose(st)
	}
	change()
	slices.SortFunc(all, (*rec).compare)
	for _, st := range all {
		if b, ok := st.eff.(*entry.Settled); ok {
			s.choose(st, b)
		}
	}
}

func (s *factSt) settling(r *rec, all []*rec) []*rec {
	for _, st := range s.named[r.id()] {
		if !slices.Contains(all, st) {
			all = s.settling(st, append(all, st))
		}
	}
	return all
}
