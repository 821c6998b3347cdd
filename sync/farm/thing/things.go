package thing

import (
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
)

// Things is the things that the crew named, and what is set of each.
type Things struct {
	order.Order
	ByID   map[entry.ID]*Thing
	asked  [32]*Thing                // a cache of ByID: those asked for lately
	ByKind [len(ThingNames)][]*Thing // in the order in which they were first named here: t is ByKind[t.Kind][t.Nr-1]
	Joins  map[entry.ID]entry.ID     // things that a settlement says are one with another
}

// Forget forgets every thing, but what was said to be one.
func (s *Things) Forget() {
	s.ByID, s.asked, s.ByKind = map[entry.ID]*Thing{}, [32]*Thing{}, [len(ThingNames)][]*Thing{}
}

// Fields under numbers that no set body uses.
const (
	FieldDial  = 100
	FieldChart = 101

	FieldCorrection = 103 // of a drill's counter, in thousandths
	FieldFinished   = 113 // of a piece of ground
	FieldMarks      = 102
)

// Thing finds a thing by its ID, or makes a place for it. It writes, so that boxes
// which are followed at once must not ask.
func (s *Things) Thing(id entry.ID, k ThingKind) *Thing {
	id = s.Canon(id)
	at := &s.asked[(id.Seq+uint64(id.Log[len(id.Log)-1]))%uint64(len(s.asked))]
	if t := *at; t != nil && t.ID == id {
		return t
	}
	if t, ok := s.ByID[id]; ok {
		*at = t
		return t
	}
	t := &Thing{ID: id, Kind: k, Nr: uint32(len(s.ByKind[k]) + 1)}
	s.ByID[id] = t
	s.ByKind[k] = append(s.ByKind[k], t)
	return t
}

// Fields of a piece of ground's plan.
const (
	PlanComponent = 110
	PlanDepth     = 111
	PlanNurse     = 112
)

// InSet puts an entry into a set, or takes it out.
func InSet(o *order.Ordered[*order.Rec], r *order.Rec, on bool) {
	if on {
		o.Put(r)
	} else {
		o.Take(r)
	}
}

// Event adds an event of the thing, or takes it back.
func (t *Thing) Event(r *order.Rec, on bool) { InSet(&t.Events, r, on) }

// Set writes a value to a field, or takes back what an entry wrote.
func (t *Thing) Set(r *order.Rec, f Field, v Value, on bool) {
	g := t.Reg(f, true)
	if on {
		g.Put(Write{By: r, Val: v})
	} else {
		g.Take(r)
	}
}

// SetAll sets each field that a set body names.
func (t *Thing) SetAll(r *order.Rec, b entry.Body, on bool) {
	b.Fields(&setter{t: t, r: r, on: on})
}

// setter is an entry.Fields that hands on what is set.
type setter struct {
	t  *Thing
	r  *order.Rec
	on bool
}

func (w *setter) put(num int, v Value) { w.t.Set(w.r, Field{Num: num}, v, w.on) }

func (w *setter) Int(int, *int64) {}

func (w *setter) Ref(int, *entry.ID) {}

func (w *setter) Bytes(int, *[]byte) {}

func (w *setter) Text(int, *string) {}

func (w *setter) Refs(int, *[]entry.ID) {}

func (w *setter) Uint(num int, v *uint64) {
	if *v != 0 {
		w.put(num, Value{N: int64(*v)})
	}
}

func (w *setter) OptInt(num int, set *bool, v *int64) {
	if *set {
		w.put(num, Value{N: *v})
	}
}

func (w *setter) OptText(num int, set *bool, v *string) {
	if *set {
		w.put(num, Value{S: *v})
	}
}

func (w *setter) Texts(num int, v *[]string) {
	if len(*v) > 0 {
		w.put(num, Value{S: strings.Join(*v, "\x00")})
	}
}

func (w *setter) Ints(num, n int, _ func(), at func(int) *int64) {
	if n > 0 {
		w.put(num, Value{S: joined(n, at)})
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
	w.put(num, Value{S: strings.Join(rings.rings, ";")})
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

// Fields of a person.
const (
	MemberName = 2
	MemberRole = 3
	MemberStop = 4
)

// Canon is the thing that an ID stands for: itself, or the one that it was
// joined to.
func (s *Things) Canon(id entry.ID) entry.ID {
	for range len(s.Joins) {
		to, ok := s.Joins[id]
		if !ok {
			break
		}
		id = to
	}
	return id
}

// Sorted is the things of a kind that have a maker, in the total order of
// their making.
func (s *Things) Sorted(k ThingKind) []*Thing {
	ts := make([]*Thing, 0, len(s.ByKind[k]))
	for _, t := range s.ByKind[k] {
		if t.Made != nil && t.Text(NameField(k)) != "" {
			ts = append(ts, t)
		}
	}
	slices.SortFunc(ts, func(a, b *Thing) int { return a.Made.Compare(b.Made) })
	return ts
}

// NameField is the field that has a thing's name.
func NameField(k ThingKind) int {
	if k == Box {
		return BoxName
	}
	return GroundName // the same number for all others
}

// Chosen is a field that a settlement has its say in.
type Chosen struct {
	Thing *Thing
	Field Field
}
