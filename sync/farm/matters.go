package farm

import (
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// thingSt is the things that the crew named, and what is set of each.
type thingSt struct {
	orderSt
	things map[entry.ID]*thing
	asked  [32]*thing                // that were asked for lately
	byKind [len(thingNames)][]*thing // in the order in which they were first named here
	joins  map[entry.ID]entry.ID     // things that a settlement says are one with another
}

// forget forgets every thing, but what was said to be one.
func (s *thingSt) forget() {
	s.things, s.asked, s.byKind = map[entry.ID]*thing{}, [32]*thing{}, [len(thingNames)][]*thing{}
}

// factSt is what the entries that count come to, after what others say of them.
type factSt struct {
	crewSt
	facts
	rejoin  bool              // joins may be out of date
	bagMass []units.Mass      // of each lot, 0 where it is not known; worked out for a view
	looked  map[looked]bool   // likewise: what settlements name
	blends  map[entry.ID]bool // likewise: the fills that were mixed with what was there
}

// facts is what is read over from nothing where things turn out to be one.
type facts struct {
	drills  map[entry.ID]*drillParts
	checks  ordered[*rec]
	settles ordered[*rec]
	pinned  ordered[*rec]       // spots of ground, and that they are gone
	errands ordered[*rec]       // seed that is asked for, and how far it has come
	named   map[entry.ID][]*rec // settlements of fields, by the entries that they name
	placed  map[*rec][]chosen   // the fields in which a settlement has its say
	outside []*rec              // entries that are left out, causes first
	edited  []*rec              // entries of which others say something, or did
}

// drillParts is what a drill has besides its fields and its readings.
type drillParts struct {
	hitch ordered[*rec] // of every drill: hitches begun and ended, signatures, holds, releases, moves
}

// Fields under numbers that no set body uses.
const (
	fieldDial  = 100
	fieldChart = 101

	fieldCorrection = 103 // of a drill's counter, in thousandths
	fieldFinished   = 113 // of a piece of ground
	fieldMarks      = 102
)

func (s *factSt) reset() {
	s.forget()
	s.facts = facts{drills: map[entry.ID]*drillParts{}, named: map[entry.ID][]*rec{}, placed: map[*rec][]chosen{}}
}

// thing finds a thing by its ID, or makes a place for it.
func (s *thingSt) thing(id entry.ID, k thingKind) *thing {
	id = s.canon(id)
	at := &s.asked[(id.Seq+uint64(id.Device[len(id.Device)-1]))%uint64(len(s.asked))]
	if t := *at; t != nil && t.id == id {
		return t
	}
	if t, ok := s.things[id]; ok {
		*at = t
		return t
	}
	t := &thing{id: id, kind: k, nr: uint32(len(s.byKind[k]) + 1)}
	s.things[id] = t
	s.byKind[k] = append(s.byKind[k], t)
	return t
}

// personOf is the one place where a person's ID lies, so that two entries are of
// one person where they have one pointer.
func (s *factSt) personOf(id entry.ID) *entry.ID { return &s.thing(id, person).id }

func (s *factSt) drillOf(id entry.ID) *drillParts {
	id = s.canon(id)
	d, ok := s.drills[id]
	if !ok {
		d = &drillParts{}
		s.drills[id] = d
	}
	return d
}

// member sets a person's name and role, where they are given.
func (s *factSt) member(r *rec, t *thing, name entry.Opt[string], role entry.Role, on bool) {
	if name.Set {
		t.set(r, field{num: memberName}, value{s: name.Val}, on)
	}
	if role != entry.NoRole {
		t.set(r, field{num: memberRole}, value{n: int64(role)}, on)
	}
}

// setBox sets a box's fields; which drill it is on is one of them.
func (s *factSt) setBox(r *rec, b *entry.BoxSet, on bool) {
	t := s.maker(r, b.Box, box)
	t.setAll(r, b, on)
	if !b.Drill.IsZero() {
		t.set(r, field{num: boxDrill}, value{s: b.Drill.String()}, on)
	}
}

// sign has a signature bear on the hitch of the drill that it was given for.
func (s *factSt) sign(r *rec, b *entry.ItemSigned, on bool) {
	if h := s.find(b.Hitch); h != nil {
		if begun, ok := h.body.(*entry.HitchBegun); ok {
			inSet(&s.drillOf(begun.Drill).hitch, r, on)
		}
	}
}

// maker is the thing that a set body is about: an older one, or the one that
// this entry makes.
func (s *factSt) maker(r *rec, id entry.ID, k thingKind) *thing {
	if id.IsZero() {
		id = r.id()
	}
	t := s.thing(id, k)
	if t.made == nil {
		t.made = s.find(t.id)
	}
	return t
}

// plan sets a plan's fields on the piece of ground.
func (s *factSt) plan(r *rec, b *entry.PlanSet, on bool) {
	t := s.thing(b.Ground, ground)
	for _, c := range b.Components {
		v := value{n: int64(c.Live), m: int64(c.Seeds)}
		if c.Removed {
			v = value{s: "removed"}
		}
		t.set(r, field{num: planComponent, x: s.canon(c.Lot), y: s.canon(c.Box)}, v, on)
	}
	if b.Depth.Set {
		t.set(r, field{num: planDepth}, value{n: int64(b.Depth.Val)}, on)
	}
	if b.Nurse.Set {
		t.set(r, field{num: planNurse}, value{s: b.Nurse.Val}, on)
	}
}

// Fields of a piece of ground's plan.
const (
	planComponent = 110
	planDepth     = 111
	planNurse     = 112
)

func inSet(o *ordered[*rec], r *rec, on bool) {
	if on {
		o.put(r)
	} else {
		o.take(r)
	}
}

func (t *thing) event(r *rec, on bool) { inSet(&t.events, r, on) }

func (t *thing) set(r *rec, f field, v value, on bool) {
	g := t.reg(f, true)
	if on {
		g.put(write{by: r, val: v})
	} else {
		g.take(r)
	}
}

// setAll sets each field that a set body names.
func (t *thing) setAll(r *rec, b entry.Body, on bool) {
	b.Fields(&setter{t: t, r: r, on: on})
}

// setter is an entry.Fields that hands on what is set.
type setter struct {
	t  *thing
	r  *rec
	on bool
}

func (w *setter) put(num int, v value) { w.t.set(w.r, field{num: num}, v, w.on) }

func (w *setter) Int(int, *int64)       {}
func (w *setter) Ref(int, *entry.ID)    {}
func (w *setter) Bytes(int, *[]byte)    {}
func (w *setter) Text(int, *string)     {}
func (w *setter) Refs(int, *[]entry.ID) {}

func (w *setter) Uint(num int, v *uint64) {
	if *v != 0 {
		w.put(num, value{n: int64(*v)})
	}
}

func (w *setter) OptInt(num int, set *bool, v *int64) {
	if *set {
		w.put(num, value{n: *v})
	}
}

func (w *setter) OptText(num int, set *bool, v *string) {
	if *set {
		w.put(num, value{s: *v})
	}
}

func (w *setter) Texts(num int, v *[]string) {
	if len(*v) > 0 {
		w.put(num, value{s: strings.Join(*v, "\x00")})
	}
}

func (w *setter) Ints(num, n int, _ func(), at func(int) *int64) {
	if n > 0 {
		w.put(num, value{s: joined(n, at)})
	}
}

func (w *setter) Body(_ int, b entry.Body) entry.Body { return b }

// Group is a boundary: rings of corners.
func (w *setter) Group(num, n int, _ func(), item func(int, entry.Fields)) {
	if n == 0 {
		return
	}
	var rings ringer
	for i := range n {
		item(i, &rings)
	}
	w.put(num, value{s: strings.Join(rings.rings, ";")})
}

// ringer collects each ring's corners as text.
type ringer struct {
	setter
	rings []string
}

func (w *ringer) Ints(_, n int, _ func(), at func(int) *int64) {
	w.rings = append(w.rings, joined(n, at))
}

func joined(n int, at func(int) *int64) string {
	parts := make([]string, n)
	for i := range n {
		parts[i] = strconv.FormatInt(*at(i), 10)
	}
	return strings.Join(parts, ",")
}
