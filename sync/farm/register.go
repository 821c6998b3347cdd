package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
)

// value is what a field is set to: numbers, or a text.
type value struct {
	n, m int64
	s    string
}

// write is one entry's value for a field. A settlement's value is that of the
// write it lets stand.
type write struct {
	by   *rec
	val  value
	from *rec
}

// register is a field that several people set. What is shown is the latest
// write by total order among the heads, the writes that no other write's
// writer had seen; heads of different value are a doubt.
type register struct {
	writes  []write // in total order
	heads   []int   // into writes
	settled bool    // some write is a settlement
}

func (g *register) put(w write) {
	i, again := slices.BinarySearchFunc(g.writes, w, func(a, b write) int { return a.by.compare(b.by) })
	g.settled = g.settled || w.from != nil
	if again { // of two values in one entry, the later in its list stands
		g.writes[i] = w
		return
	}
	g.writes = slices.Insert(g.writes, i, w)
	if i == len(g.writes)-1 && !g.settled {
		g.raise(i)
		return
	}
	g.rehead()
}

func (g *register) take(r *rec) {
	g.writes = slices.DeleteFunc(g.writes, func(w write) bool { return w.by == r })
	g.rehead()
}

func (g *register) rehead() {
	g.heads = g.heads[:0]
	for i := range g.writes {
		g.raise(i)
	}
}

// raise makes write i a head, unless a head knew it, in place of those that it
// knew.
func (g *register) raise(i int) {
	if _, ok := g.value(i); !ok {
		return
	}
	w := g.writes[i].by
	if slices.ContainsFunc(g.heads, func(h int) bool { return g.writes[h].by.knew(w) }) {
		return
	}
	g.heads = slices.DeleteFunc(g.heads, func(h int) bool { return w.knew(g.writes[h].by) })
	g.heads = append(g.heads, i)
}

// value is what write i says; a settlement says nothing where the write that
// it lets stand is gone.
func (g *register) value(i int) (value, bool) {
	w := &g.writes[i]
	if w.from == nil {
		return w.val, true
	}
	for j := range g.writes {
		if g.writes[j].by == w.from {
			return g.value(j)
		}
	}
	return value{}, false
}

// shown is the write to show, by total order, and its value.
func (g *register) shown() (*rec, value, bool) {
	if len(g.heads) == 0 {
		return nil, value{}, false
	}
	h := slices.Max(g.heads)
	v, ok := g.value(h)
	return g.writes[h].by, v, ok
}

// contested is the entries behind the heads where their values differ, in
// total order; none where there is no doubt.
func (g *register) contested() []*rec {
	if len(g.heads) < 2 {
		return nil
	}
	_, top, _ := g.shown()
	differs := false
	hs := slices.Sorted(slices.Values(g.heads))
	recs := make([]*rec, 0, len(hs))
	for _, h := range hs {
		v, _ := g.value(h)
		differs = differs || v != top
		recs = append(recs, g.writes[h].by)
	}
	if !differs {
		return nil
	}
	return recs
}

// field names a field of a thing: a number of its set body's schema, and what
// tells apart the fields under one number.
type field struct {
	num  int
	x, y entry.ID // a plan's component: lot and box
	s    string   // a chart point: species
	n    int64    // a chart point's dial; the side of a dial
}

func (f *field) compare(o *field) int {
	if f.num != o.num { // mostly enough, and this is asked often
		return f.num - o.num
	}
	if f.num < fieldDial { // those have nothing else
		return 0
	}
	if c := cmp.Or(f.x.Compare(o.x), f.y.Compare(o.y)); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(f.s, o.s), cmp.Compare(f.n, o.n))
}

// thing is something that the crew named: a person, a piece of ground, a
// drill, a box, a lot. It is the entry that first set it.
type thing struct {
	id     entry.ID
	kind   thingKind
	nr     uint32 // among those of its kind, from 1
	made   *rec   // nil where that entry is no maker of things
	fields []fieldReg
	events ordered[*rec]  // of all but a box
	deeds  ordered[*deed] // of a box
	room   []deed         // for the next of them
}

type fieldReg struct {
	field
	register
}

type thingKind uint8

const (
	person thingKind = iota
	ground
	drill
	box
	lot
	spot
	errand
)

var thingNames = [...]string{"person", "ground", "drill", "box", "lot", "spot", "errand"}

func (k thingKind) String() string { return thingNames[k] }

func (t *thing) place(f field) (int, bool) {
	low, high := 0, len(t.fields)
	for low < high {
		mid := (low + high) / 2
		switch c := t.fields[mid].field.compare(&f); {
		case c == 0:
			return mid, true
		case c < 0:
			low = mid + 1
		default:
			high = mid
		}
	}
	return low, false
}

// reg is the thing's register for a field; it is made where make is set.
func (t *thing) reg(f field, make bool) *register {
	i, ok := t.place(f)
	if !ok {
		if !make {
			return nil
		}
		t.fields = slices.Insert(t.fields, i, fieldReg{field: f})
	}
	return &t.fields[i].register
}

func (t *thing) get(f field) (value, bool) {
	g := t.reg(f, false)
	if g == nil {
		return value{}, false
	}
	_, v, ok := g.shown()
	return v, ok
}

func (t *thing) num(n int) (int64, bool) {
	v, ok := t.get(field{num: n})
	return v.n, ok
}

func (t *thing) text(n int) string {
	v, _ := t.get(field{num: n})
	return v.s
}
