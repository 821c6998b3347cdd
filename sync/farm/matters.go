package farm

import (
	"strconv"
	"strings"

	"turnrow/sync/entry"
)

// matters is what the entries that count add up to.
type matters struct {
	things  map[entry.ID]*thing
	asked   [32]*thing                // that were asked for lately
	byKind  [len(thingNames)][]*thing // in the order in which they were first named here
	drills  map[entry.ID]*drillParts
	checks  ordered[*rec]
	settles ordered[*rec]
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

func (s *State) reset() {
	s.matters = matters{
		things: map[entry.ID]*thing{}, drills: map[entry.ID]*drillParts{},
		named: map[entry.ID][]*rec{}, placed: map[*rec][]chosen{},
	}
	s.changed()
}

// thing finds a thing by its ID, or makes a place for it.
func (s *State) thing(id entry.ID, k thingKind) *thing {
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

func (s *State) drillOf(id entry.ID) *drillParts {
	id = s.canon(id)
	d, ok := s.drills[id]
	if !ok {
		d = &drillParts{}
		s.drills[id] = d
	}
	return d
}

// put lets an entry take effect; take undoes it.
func (s *State) put(r *rec, b entry.Body)  { s.effect(r, b, true) }
func (s *State) take(r *rec, b entry.Body) { s.effect(r, b, false) }

// effect is the one place that says which matter each body bears on.
func (s *State) effect(r *rec, b entry.Body, on bool) {
	switch b := b.(type) {
	case *entry.Filled, *entry.VolumeFilled, *entry.Drained, *entry.LevelRead, *entry.Caught:
		s.boxEvent(r, b, on)
	case *entry.DialMoved:
		s.boxEvent(r, b, on)
		s.thing(b.Box, box).set(r, field{num: fieldDial, n: b.Side}, value{n: int64(b.To)}, on)
	case *entry.MeterRead:
		s.thing(b.Drill, drill).event(r, on)
	case *entry.CounterReset:
		s.thing(b.Drill, drill).event(r, on)
	case *entry.GroundFinished:
		s.finish(r, b, on)
	case *entry.CounterStood:
		s.thing(b.Drill, drill).event(r, on)
	case *entry.StandCounted:
		s.thing(b.Ground, ground).event(r, on)
	case *entry.BagsIn:
		s.thing(b.Lot, lot).event(r, on)
	case *entry.VolumeWeighed:
		s.thing(b.Lot, lot).event(r, on)
	case *entry.BagsOut:
		s.thing(b.Lot, lot).event(r, on)
	case *entry.Amended:
		s.edit(r, b.Entry, on)
	case *entry.Struck:
		s.edit(r, b.Entry, on)
	case *entry.Settled:
		s.putSettled(r, b, on)
	default:
		s.effectOnSetup(r, b, on)
	}
}

func (s *State) effectOnSetup(r *rec, b entry.Body, on bool) {
	switch b := b.(type) {
	case *entry.FarmFounded:
		t := s.maker(r, entry.ID{}, person)
		t.set(r, field{num: memberName}, value{s: b.Owner}, on)
		t.set(r, field{num: memberRole}, value{n: int64(entry.Owner)}, on)
	case *entry.MemberAdded:
		t := s.maker(r, entry.ID{}, person)
		t.set(r, field{num: memberName}, value{s: b.Name}, on)
		t.set(r, field{num: memberRole}, value{n: int64(b.Role)}, on)
	case *entry.MemberChanged:
		t := s.thing(b.Member, person)
		if b.Name.Set {
			t.set(r, field{num: memberName}, value{s: b.Name.Val}, on)
		}
		if b.Role != entry.NoRole {
			t.set(r, field{num: memberRole}, value{n: int64(b.Role)}, on)
		}
	case *entry.MemberStopped:
		s.thing(b.Member, person).set(r, field{num: memberStop}, value{n: 1}, on)
	case *entry.GroundSet:
		s.maker(r, b.Ground, ground).setAll(r, b, on)
	case *entry.DrillSet:
		s.maker(r, b.Drill, drill).setAll(r, b, on)
	case *entry.BoxSet:
		t := s.maker(r, b.Box, box)
		t.setAll(r, b, on)
		if !b.Drill.IsZero() {
			t.set(r, field{num: 2, x: entry.ID{}}, value{s: b.Drill.String()}, on)
		}
	case *entry.LotSet:
		s.maker(r, b.Lot, lot).setAll(r, b, on)
	case *entry.LabelSet:
		s.thing(b.Lot, lot).label(r, b, on)
	case *entry.ChartPointSet:
		s.thing(b.Box, box).set(r, field{num: fieldChart, s: b.Species, n: int64(b.Dial)}, value{n: int64(b.Rate), s: b.Printed}, on)
	case *entry.DialMarked:
		s.thing(b.Box, box).set(r, field{num: fieldMarks, n: b.Side}, value{s: strings.Join(b.Marks, "\x00")}, on)
	case *entry.PlanSet:
		s.plan(r, b, on)
	case *entry.ChecksSet:
		inSet(&s.checks, r, on)
	default:
		s.effectOnHitch(r, b, on)
	}
}

func (s *State) effectOnHitch(r *rec, b entry.Body, on bool) {
	of := entry.ID{}
	switch b := b.(type) {
	case *entry.HitchBegun:
		of = b.Drill
	case *entry.HoldReleased:
		of = b.Drill
	case *entry.Unhitched:
		of = b.Drill
	case *entry.DrillMoved:
		of = b.Drill
	case *entry.ItemSigned:
		h := s.find(b.Hitch)
		if h == nil {
			return
		}
		begun, ok := h.body.(*entry.HitchBegun)
		if !ok {
			return
		}
		of = begun.Drill
	default:
		return
	}
	inSet(&s.drillOf(of).hitch, r, on)
}

// maker is the thing that a set body is about: an older one, or the one that
// this entry makes.
func (s *State) maker(r *rec, id entry.ID, k thingKind) *thing {
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
func (s *State) plan(r *rec, b *entry.PlanSet, on bool) {
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
