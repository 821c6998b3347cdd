package thing

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/message"
)

// Value is what a field is set to: numbers, or a text.
type Value struct {
	N, M int64
	S    string
}

// Write is one entry's value for a field. A settlement's value is that of the
// write it lets stand.
type Write struct {
	By   *order.Rec
	Val  Value
	From *order.Rec
}

// Register is a field that several people set. What is shown is the latest
// write by total order among the heads, the writes that no other write's
// writer had seen; heads of different value are a doubt.
type Register struct {
	Writes  []Write // sorted by By.Compare, one for each entry
	Heads   []int   // into Writes: of those that say something, what no other's writer had seen
	settled bool    // some write is, or was, a settlement: its value hangs on another's, so that heads are found anew
}

// Put puts a write in its place.
func (g *Register) Put(w Write) {
	i, again := slices.BinarySearchFunc(g.Writes, w, func(a, b Write) int { return a.By.Compare(b.By) })
	g.settled = g.settled || w.From != nil
	if again { // of two values in one entry, the later in its list stands
		g.Writes[i] = w
		return
	}
	g.Writes = slices.Insert(g.Writes, i, w)
	if i == len(g.Writes)-1 && !g.settled {
		g.raise(i)
		return
	}
	g.rehead()
}

// Take takes out what an entry wrote.
func (g *Register) Take(r *order.Rec) {
	g.Writes = slices.DeleteFunc(g.Writes, func(w Write) bool { return w.By == r })
	g.rehead()
}

func (g *Register) rehead() {
	g.Heads = g.Heads[:0]
	for i := range g.Writes {
		g.raise(i)
	}
}

// raise makes write i a head, unless a head knew it, in place of those that it
// knew. Those before it were raised already, in order.
func (g *Register) raise(i int) {
	if _, ok := g.Value(i); !ok {
		return
	}
	w := g.Writes[i].By
	if slices.ContainsFunc(g.Heads, func(h int) bool { return g.Writes[h].By.Knew(w) }) {
		return
	}
	g.Heads = slices.DeleteFunc(g.Heads, func(h int) bool { return w.Knew(g.Writes[h].By) })
	g.Heads = append(g.Heads, i)
}

// Value is what write i says; a settlement says nothing where the write that
// it lets stand is gone.
func (g *Register) Value(i int) (Value, bool) {
	w := &g.Writes[i]
	if w.From == nil {
		return w.Val, true
	}
	for j := range g.Writes {
		if g.Writes[j].By == w.From {
			return g.Value(j)
		}
	}
	return Value{}, false
}

// Shown is the write to show, by total order, and its value.
func (g *Register) Shown() (*order.Rec, Value, bool) {
	if len(g.Heads) == 0 {
		return nil, Value{}, false
	}
	h := slices.Max(g.Heads)
	v, ok := g.Value(h)
	return g.Writes[h].By, v, ok
}

// Contested is the entries behind the heads where their values differ, in
// total order; none where there is no doubt.
func (g *Register) Contested() []*order.Rec {
	if len(g.Heads) < 2 {
		return nil
	}
	_, top, _ := g.Shown()
	differs := false
	hs := slices.Sorted(slices.Values(g.Heads))
	recs := make([]*order.Rec, 0, len(hs))
	for _, h := range hs {
		v, _ := g.Value(h)
		differs = differs || v != top
		recs = append(recs, g.Writes[h].By)
	}
	if !differs {
		return nil
	}
	return recs
}

// Field names a field of a thing: a number of its set body's schema, and what
// tells apart the fields under one number.
type Field struct {
	Num  int
	X, Y entry.ID // a plan's component: lot and box
	S    string   // a chart point: species
	N    int64    // a chart point's dial; the side of a dial
}

func (f *Field) compare(o *Field) int {
	if f.Num != o.Num { // mostly enough, and this is asked often
		return f.Num - o.Num
	}
	if f.Num < FieldDial { // those have nothing else
		return 0
	}
	if c := cmp.Or(f.X.Compare(o.X), f.Y.Compare(o.Y)); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(f.S, o.S), cmp.Compare(f.N, o.N))
}

// Thing is something that the crew named: a person, a piece of ground, a
// drill, a box, a lot. It is the entry that first set it.
type Thing struct {
	ID     entry.ID
	Kind   ThingKind
	Nr     uint32                    // among those of its kind, from 1
	Made   *order.Rec                // nil where that entry is no maker of things
	Fields []FieldReg                // sorted by Field, each once
	Events order.Ordered[*order.Rec] // of all but a box
	Deeds  order.Ordered[*Deed]      // of a box
	room   []Deed                    // for the next of them
}

// FieldReg is a field of a thing, and what was written to it.
type FieldReg struct {
	Field
	Register
}

// ThingKind is what a thing is.
type ThingKind uint8

// The kinds of things.
const (
	Person ThingKind = iota
	Ground
	Drill
	Box
	Lot
	Spot
	Errand
)

// ThingNames is what people call the kinds of things.
var ThingNames = [...]string{"person", "ground", "drill", "box", "lot", "spot", "errand"}

func (k ThingKind) String() string { return ThingNames[k] }

// namedAs is the messages of a thing with its kind.
var namedAs = [len(ThingNames)]message.ID{"person", "ground", "drill", "box", "lot", "spot", "errand"}

// Named is a thing of the kind by its name, such as box oat.
func (k ThingKind) Named(n message.Name) message.Message { return message.Of(namedAs[k], n) }

// Place is where a field stands among the thing's, or would.
func (t *Thing) Place(f Field) (int, bool) {
	low, high := 0, len(t.Fields)
	for low < high {
		mid := (low + high) / 2
		switch c := t.Fields[mid].Field.compare(&f); {
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

// Reg is the thing's register for a field; it is made where make is set.
func (t *Thing) Reg(f Field, make bool) *Register {
	i, ok := t.Place(f)
	if !ok {
		if !make {
			return nil
		}
		t.Fields = slices.Insert(t.Fields, i, FieldReg{Field: f})
	}
	return &t.Fields[i].Register
}

// Get is the value of a field that is shown.
func (t *Thing) Get(f Field) (Value, bool) {
	g := t.Reg(f, false)
	if g == nil {
		return Value{}, false
	}
	_, v, ok := g.Shown()
	return v, ok
}

// Num is the number of a field that is shown.
func (t *Thing) Num(n int) (int64, bool) {
	v, ok := t.Get(Field{Num: n})
	return v.N, ok
}

// Text is the text of a field that is shown; empty where there is none.
func (t *Thing) Text(n int) string {
	v, _ := t.Get(Field{Num: n})
	return v.S
}

// Chosen is the entry whose value is shown, settlements looked through.
func (g *Register) Chosen() *order.Rec {
	if len(g.Heads) == 0 {
		return nil
	}
	w := &g.Writes[slices.Max(g.Heads)]
	for w.From != nil {
		i := slices.IndexFunc(g.Writes, func(o Write) bool { return o.By == w.From })
		if i < 0 {
			return nil
		}
		w = &g.Writes[i]
	}
	return w.By
}

// LastKnown is the last write before one that its writer had seen; -1 where
// there is none.
func (g *Register) LastKnown(of int) int {
	for i := of - 1; i >= 0; i-- {
		if g.Writes[of].By.Knew(g.Writes[i].By) {
			return i
		}
	}
	return -1
}

// FinishedBy is the entry by which ground is finished; nil where it is not.
func (g *Register) FinishedBy() *order.Rec {
	if g == nil {
		return nil
	}
	r := g.Chosen()
	if r == nil {
		return nil
	}
	if b, ok := r.Eff.(*entry.GroundFinished); !ok || !b.Finished {
		return nil
	}
	return r
}

// Before is the text of the latest write, by total order, that an entry's writer
// had seen, of those that are not the entry's own.
func (g *Register) Before(r *order.Rec) string {
	for i := len(g.Writes) - 1; i >= 0; i-- {
		if w := g.Writes[i].By; w == r || !r.Knew(w) {
			continue
		}
		if v, ok := g.Value(i); ok {
			return v.S
		}
	}
	return ""
}
