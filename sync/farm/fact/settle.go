package fact

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// settlement is what the settlements of one doubt come to.
type settlement struct {
	By     *order.Rec // the latest, in total order
	Agreed bool       // those that no later one knew say the same
}

// Settlements groups the settlements by the doubt that they settle.
func (s *Facts) Settlements() map[string]settlement {
	byKey := map[string][]*order.Rec{}
	var keys []string
	for _, r := range s.Settles.All() {
		b := r.Eff.(*entry.Settled)
		if !s.Says(b) {
			continue
		}
		k := conflict.DoubtKey(b.Doubt, b.Entries)
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

func agree(rs []*order.Rec) settlement {
	var heads []*order.Rec
	for _, r := range rs {
		heads = slices.DeleteFunc(heads, func(h *order.Rec) bool { return r.Knew(h) })
		heads = append(heads, r)
	}
	st := settlement{By: rs[len(rs)-1], Agreed: true}
	for _, h := range heads {
		st.Agreed = st.Agreed && conflict.SameOutcome(h.Eff.(*entry.Settled), st.By.Eff.(*entry.Settled))
	}
	return st
}

// Says whether a settlement says what its kind of doubt asks: what a dial reads,
// since it is one thing on one machine and someone has to look; or which of the
// entries stands.
func (s *Facts) Says(b *entry.Settled) bool {
	if conflict.DoubtKind(b.Doubt) == conflict.CounterBegin {
		return s.saysBegin(b)
	}
	return conflict.Says(b)
}

// saysBegin says whether a settlement says where the counter stood before the
// reading that it is about.
func (s *Facts) saysBegin(b *entry.Settled) bool {
	if len(b.Entries) != 1 || b.Choice != entry.BeganAt || !b.Value.Set {
		return false
	}
	r := s.Find(b.Entries[0])
	if r == nil {
		return false
	}
	read, ok := r.Eff.(*entry.MeterRead)
	return ok && units.Reading(b.Value.Val) <= read.Reading
}

// LookedAt is what the settlements name.
func (s *Facts) LookedAt() map[conflict.Looked]bool {
	at := map[conflict.Looked]bool{}
	for _, st := range s.Settles.All() {
		b := st.Eff.(*entry.Settled)
		for _, id := range b.Entries {
			at[conflict.Looked{Kind: b.Doubt, Entry: id}] = true
		}
	}
	return at
}

// BlendedBy is the fills that people say were mixed with what was there before
// them. Where concurrent ones differ, it is in doubt still.
func (s *Facts) BlendedBy() map[entry.ID]bool {
	var of []entry.ID
	said := map[entry.ID][]*order.Rec{}
	for _, r := range s.Settles.All() {
		if b := r.Eff.(*entry.Settled); b.Doubt == string(conflict.TwoSeeds) && conflict.Says(b) {
			if _, ok := said[b.Entries[0]]; !ok {
				of = append(of, b.Entries[0])
			}
			said[b.Entries[0]] = append(said[b.Entries[0]], r)
		}
	}
	out := make(map[entry.ID]bool, len(of))
	for _, id := range of {
		st := agree(said[id])
		out[id] = st.Agreed && st.By.Eff.(*entry.Settled).Choice == entry.Blended
	}
	return out
}

// Covered says whether some settlement of a kind names an entry.
func (s *Facts) Covered(kind conflict.DoubtKind, r *order.Rec) bool {
	return len(s.Looked) > 0 && s.Looked[conflict.Looked{Kind: string(kind), Entry: r.ID()}] // mostly there are none, and the entry need not be fetched
}

// AnySettled says whether some settlement of a kind that names an entry is such.
func (s *Facts) AnySettled(kind conflict.DoubtKind, r *order.Rec, is func(*entry.Settled) bool) bool {
	return s.Covered(kind, r) && slices.ContainsFunc(s.Settles.All(), func(by *order.Rec) bool {
		b := by.Eff.(*entry.Settled)
		return b.Doubt == string(kind) && slices.Contains(b.Entries, r.ID()) && is(b)
	})
}

// putSettled lets a settlement take effect: of a double entry it sets aside
// those that do not stand, in a field that its entries contest it is a write of
// its own.
func (s *Facts) putSettled(r *order.Rec, b *entry.Settled, on bool) {
	thing.InSet(&s.Settles, r, on)
	switch conflict.DoubtKind(b.Doubt) {
	case conflict.DoubleEntry, conflict.TwoBegins:
		for _, id := range b.Entries {
			if of := s.Find(id); of != nil && setsAside(b, of.Body) && conflict.Says(b) {
				s.edit(r, id, on)
			}
		}
	case conflict.SameName, conflict.NearName:
		s.rejoin = true
	case conflict.TwoSettings, conflict.TwoPlans:
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
	case *entry.Unknown:
		return false
	case *entry.Settled:
		if b.Doubt != string(conflict.CounterBegin) {
			return false
		}
	}
	return setAside[b.Kind()] != stays && by.Doubt == string(setAside[b.Kind()])
}

// setAside has a row for each kind, by its number: the doubt whose settlement may
// set an entry of it aside. A test fails without.
var setAside = [entry.LastKind + 1]conflict.DoubtKind{
	entry.KindFilled: conflict.DoubleEntry, entry.KindVolumeFilled: conflict.DoubleEntry, entry.KindDrained: conflict.DoubleEntry,
	entry.KindCounterStood: conflict.TwoBegins,
	entry.KindSettled:      conflict.TwoBegins, // where it says where the counter stood

	entry.KindLevelRead: stays, entry.KindCaught: stays, entry.KindDialMoved: stays, entry.KindMeterRead: stays,
	entry.KindNoted: stays, entry.KindBagsIn: stays, entry.KindBagsOut: stays, entry.KindVolumeWeighed: stays,
	entry.KindDialMarked: stays, entry.KindCounterReset: stays, entry.KindStandCounted: stays, entry.KindGroundFinished: stays,
	entry.KindPinned: stays, entry.KindErrand: stays,
	entry.KindGroundSet: stays, entry.KindDrillSet: stays, entry.KindBoxSet: stays, entry.KindLotSet: stays,
	entry.KindLabelSet: stays, entry.KindChartPointSet: stays, entry.KindPlanSet: stays,
	entry.KindChecksSet: stays, entry.KindHitchBegun: stays, entry.KindItemSigned: stays, entry.KindHoldRaised: stays,
	entry.KindHoldReleased: stays, entry.KindHoldSeen: stays, entry.KindDrillMoved: stays, entry.KindUnhitched: stays,
	entry.KindAmended: stays, entry.KindStruck: stays,
	entry.KindFarmFounded: stays, entry.KindInvited: stays, entry.KindDeviceEnrolled: stays, entry.KindMemberAdded: stays,
	entry.KindMemberChanged: stays, entry.KindMemberStopped: stays, entry.KindDeviceStopped: stays,
	entry.KindDeviceTakenIn: stays, entry.KindRecovered: stays, entry.KindAdmitted: stays,
}

// stays is the row of a kind that no settlement sets aside.
const stays = conflict.DoubtKind("none")

// nameIn keeps which settlements of fields name an entry.
func (s *Facts) nameIn(r *order.Rec, b *entry.Settled, on bool) {
	for _, id := range b.Entries {
		if on {
			s.named[id] = append(s.named[id], r)
		} else {
			s.named[id] = slices.DeleteFunc(slices.Clone(s.named[id]), func(o *order.Rec) bool { return o == r })
		}
	}
}

// choose writes a settlement's value to each field that two or more of its
// entries write: what was read on the dial, or the value of the one that
// stands.
func (s *Facts) choose(r *order.Rec, b *entry.Settled) {
	looked := b.Doubt == string(conflict.TwoSettings)
	w := thing.Write{By: r, Val: thing.Value{N: int64(b.Dial.Val)}}
	if !looked && len(b.Stands) == 1 {
		w.From = s.Find(b.Stands[0])
	}
	if !conflict.Says(b) || looked != b.Dial.Set || !looked && w.From == nil {
		return
	}
	for _, c := range s.writtenBy(b.Entries) {
		if (c.Field.Num == thing.FieldDial) == looked {
			c.Thing.Reg(c.Field, true).Put(w)
			s.placed[r] = append(s.placed[r], c)
		}
	}
}

func (s *Facts) unchoose(r *order.Rec) {
	for _, c := range s.placed[r] {
		c.Thing.Reg(c.Field, true).Take(r)
	}
	delete(s.placed, r)
}

// writtenBy is the fields that two or more of the entries write.
func (s *Facts) writtenBy(ids []entry.ID) []thing.Chosen {
	var once, twice []thing.Chosen
	for i, id := range ids {
		if slices.Contains(ids[:i], id) {
			continue
		}
		for _, c := range s.Writes(s.Find(id)) {
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

// Writes is the fields that an entry writes now.
func (s *Facts) Writes(r *order.Rec) []thing.Chosen {
	if r == nil || r.Eff == nil {
		return nil
	}
	if _, settles := r.Eff.(*entry.Settled); settles {
		return s.placed[r]
	}
	ids := rule.About(r.Eff)
	if len(ids) == 0 || ids[0].IsZero() {
		return s.writesOf(s.ByID[r.ID()], r, nil)
	}
	out := s.writesOf(s.ByID[s.Canon(ids[0])], r, nil)
	if b, ok := r.Eff.(*entry.GroundFinished); ok { // it is about a drill as well
		out = s.writesOf(s.ByID[s.Canon(b.Drill)], r, out)
	}
	return out
}

// writesOf adds the fields of a thing that an entry writes.
func (s *Facts) writesOf(t *thing.Thing, r *order.Rec, out []thing.Chosen) []thing.Chosen {
	if t == nil {
		return out
	}
	for i := range t.Fields {
		f := &t.Fields[i]
		if slices.ContainsFunc(f.Writes, func(w thing.Write) bool { return w.By == r }) {
			out = append(out, thing.Chosen{Thing: t, Field: f.Field})
		}
	}
	return out
}

// rechoose has the settlements that name an entry, and those that name them,
// choose anew around a change of what the entry stands for.
func (s *Facts) rechoose(r *order.Rec, change func()) {
	all := s.settling(r, nil)
	for _, st := range all {
		s.unchoose(st)
	}
	change()
	slices.SortFunc(all, (*order.Rec).Compare)
	for _, st := range all {
		if b, ok := st.Eff.(*entry.Settled); ok {
			s.choose(st, b)
		}
	}
}

func (s *Facts) settling(r *order.Rec, all []*order.Rec) []*order.Rec {
	for _, st := range s.named[r.ID()] {
		if !slices.Contains(all, st) {
			all = s.settling(st, append(all, st))
		}
	}
	return all
}

// Together makes one doubt of entries of one kind that no settlement names
// yet, so that a doubt that goes on is one doubt and not one an entry.
func (s *Facts) Together(kind conflict.DoubtKind, about message.Message, rs []*order.Rec) []order.Finding {
	open := slices.DeleteFunc(slices.Clone(rs), func(r *order.Rec) bool { return s.Covered(kind, r) })
	if len(open) == 0 {
		return nil
	}
	return []order.Finding{{Kind: kind, About: about, Recs: open}}
}
