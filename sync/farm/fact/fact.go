package fact

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

// Facts is what the entries that count come to, after what others say of them.
type Facts struct {
	crew.Crew
	facts
	rejoin  bool                     // Joins may be out of date
	BagMass []units.Mass             // of each lot, 0 where it is not known; worked out for a view
	Looked  map[conflict.Looked]bool // likewise: what settlements name
	Blends  map[entry.ID]bool        // likewise: the fills that were mixed with what was there
}

// facts is what is read over from nothing where things turn out to be one.
type facts struct {
	drills  map[entry.ID]*DrillParts
	Checks  order.Ordered[*order.Rec]
	Settles order.Ordered[*order.Rec]
	Pinned  order.Ordered[*order.Rec]               // spots of ground, and that they are gone
	Errands order.Ordered[*order.Rec]               // seed that is asked for, and how far it has come
	seen    map[entry.ID]*order.Ordered[*order.Rec] // who says to have seen a hold and knew it, by the hold
	named   map[entry.ID][]*order.Rec               // settlements of fields, by the entries that they name
	placed  map[*order.Rec][]thing.Chosen           // the fields in which a settlement has its say
	Outside []*order.Rec                            // entries that are left out, causes first
	Edited  []*order.Rec                            // entries of which others say something, or did
}

// DrillParts is what a drill has besides its fields and its readings.
type DrillParts struct {
	Hitch order.Ordered[*order.Rec] // of every drill: hitches begun and ended, signatures, holds, releases, moves
}

// Reset forgets all that entries came to, to read them over.
func (s *Facts) Reset() {
	s.Forget()
	s.facts = facts{drills: map[entry.ID]*DrillParts{}, seen: map[entry.ID]*order.Ordered[*order.Rec]{}, named: map[entry.ID][]*order.Rec{}, placed: map[*order.Rec][]thing.Chosen{}}
}

// personOf is the one place where a person's ID lies, so that two entries are of
// one person where they have one pointer.
func (s *Facts) personOf(id entry.ID) *entry.ID { return &s.Thing(id, thing.Person).ID }

// DrillOf is what bears on the hitch of a drill.
func (s *Facts) DrillOf(id entry.ID) *DrillParts {
	id = s.Canon(id)
	d, ok := s.drills[id]
	if !ok {
		d = &DrillParts{}
		s.drills[id] = d
	}
	return d
}

// member sets a person's name and role, where they are given.
func (s *Facts) member(r *order.Rec, t *thing.Thing, name entry.Opt[string], role entry.Role, on bool) {
	if name.Set {
		t.Set(r, thing.Field{Num: thing.MemberName}, thing.Value{S: name.Val}, on)
	}
	if role != entry.NoRole {
		t.Set(r, thing.Field{Num: thing.MemberRole}, thing.Value{N: int64(role)}, on)
	}
}

// setBox sets a box's fields; which drill it is on is one of them.
func (s *Facts) setBox(r *order.Rec, b *entry.BoxSet, on bool) {
	t := s.maker(r, b.Box, thing.Box)
	t.SetAll(r, b, on)
	if !b.Drill.IsZero() {
		t.Set(r, thing.Field{Num: thing.BoxDrill}, thing.Value{S: b.Drill.String()}, on)
	}
}

// sign has a signature bear on the hitch of the drill that it was given for.
func (s *Facts) sign(r *order.Rec, b *entry.ItemSigned, on bool) {
	if h := s.Find(b.Hitch); h != nil {
		if begun, ok := h.Body.(*entry.HitchBegun); ok {
			thing.InSet(&s.DrillOf(begun.Drill).Hitch, r, on)
		}
	}
}

// maker is the thing that a set body is about: an older one, or the one that
// this entry makes.
func (s *Facts) maker(r *order.Rec, id entry.ID, k thing.ThingKind) *thing.Thing {
	if id.IsZero() {
		id = r.ID()
	}
	t := s.Thing(id, k)
	if t.Made == nil {
		t.Made = s.Find(t.ID)
	}
	return t
}

// plan sets a plan's fields on the piece of ground.
func (s *Facts) plan(r *order.Rec, b *entry.PlanSet, on bool) {
	t := s.Thing(b.Ground, thing.Ground)
	for _, c := range b.Components {
		v := thing.Value{N: int64(c.Live), M: int64(c.Seeds)}
		if c.Removed {
			v = thing.Value{S: "removed"}
		}
		t.Set(r, thing.Field{Num: thing.PlanComponent, X: s.Canon(c.Lot), Y: s.Canon(c.Box)}, v, on)
	}
	if b.Depth.Set {
		t.Set(r, thing.Field{Num: thing.PlanDepth}, thing.Value{N: int64(b.Depth.Val)}, on)
	}
	if b.Nurse.Set {
		t.Set(r, thing.Field{Num: thing.PlanNurse}, thing.Value{S: b.Nurse.Val}, on)
	}
}

// finish takes in that ground is finished, or is not after all, and what the
// counter is corrected by from there on.
func (s *Facts) finish(r *order.Rec, b *entry.GroundFinished, on bool) {
	v := thing.Value{}
	if b.Finished {
		v.N = 1
	}
	s.Thing(b.Ground, thing.Ground).Set(r, thing.Field{Num: thing.FieldFinished}, v, on)
	if b.Correction.Set {
		s.Thing(b.Drill, thing.Drill).Set(r, thing.Field{Num: thing.FieldCorrection}, thing.Value{N: b.Correction.Val}, on)
	}
}
