package farm

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"hash"

	"turnrow/sync/entry"
)

// Digest is a SHA-256 over the state in one canonical form: every entry and
// what it stands for, every field's shown value and contested ones, readiness,
// seed, acres and doubts. Replicas that hold the same entries have the same
// digest. All of it is integers and texts.
func (s *State) Digest() [32]byte {
	d := &digester{h: sha256.New()}
	d.bytes(s.id[:])
	for _, dev := range s.devicesInOrder() {
		if dev.joined { // the others are kept, relayed and shown, and count for nothing
			digestDevice(d, dev)
		}
	}
	for k := range thingKind(len(thingNames)) {
		for _, t := range s.sorted(k) {
			digestThing(d, t)
		}
	}
	digestView(d, s.View())
	return [32]byte(d.h.Sum(nil))
}

// digester writes values into a hash, each with its length or size fixed, so
// that no two states give the same bytes.
type digester struct {
	h   hash.Hash
	buf []byte
}

func (d *digester) num(n int64) {
	d.buf = binary.AppendVarint(d.buf, n)
	if len(d.buf) > 4096 {
		d.flush()
	}
}

func (d *digester) bytes(b []byte) {
	d.num(int64(len(b)))
	d.buf = append(d.buf, b...)
}

func (d *digester) flush() {
	d.h.Write(d.buf)
	d.buf = d.buf[:0]
}

func (d *digester) text(s string) {
	d.num(int64(len(s)))
	d.buf = append(d.buf, s...)
}

func (d *digester) id(id entry.ID) {
	d.buf = append(d.buf, id.Device[:]...)
	d.num(int64(id.Seq))
}

func (d *digester) flag(b bool) {
	if b {
		d.num(1)
	} else {
		d.num(0)
	}
}

func digestDevice(d *digester, dev *device) {
	d.buf = append(d.buf, dev.id[:]...)
	d.flag(dev.root != nil)
	if dev.root != nil {
		d.buf = append(d.buf, dev.root.id[:]...)
		d.num(int64(dev.base))
	}
	d.num(int64(len(dev.recs)))
	for _, r := range dev.recs {
		d.num(int64(r.round))
		d.num(int64(r.time))
		d.num(r.wall)
		d.num(int64(r.left))
		d.id(personID(r))
		d.body(r.body)
		d.flag(r.eff == r.body)
		if r.eff != r.body {
			d.body(r.eff)
		}
	}
	d.num(int64(len(dev.wait)))
	for i := range dev.wait {
		d.body(dev.wait[i].Body)
	}
}

func (d *digester) body(b entry.Body) {
	if b == nil {
		d.num(0)
		return
	}
	d.num(int64(b.Kind()))
	if u, ok := b.(*entry.Unknown); ok {
		d.bytes(u.Raw)
		return
	}
	b.Fields(d)
	d.num(-1)
}

// sameBody says whether two bodies say the same.
func sameBody(a, b entry.Body) bool {
	var x, y digester
	x.h, y.h = sha256.New(), sha256.New()
	x.body(a)
	y.body(b)
	x.flush()
	y.flush()
	return bytes.Equal(x.h.Sum(nil), y.h.Sum(nil))
}

func digestThing(d *digester, t *thing) {
	d.id(t.id)
	d.num(int64(t.kind))
	for i := range t.fields {
		f := &t.fields[i]
		by, v, ok := f.shown()
		if !ok {
			continue
		}
		d.num(int64(f.num))
		d.id(f.x)
		d.id(f.y)
		d.text(f.s)
		d.num(f.n)
		d.id(by.id())
		d.num(v.n)
		d.num(v.m)
		d.text(v.s)
		for _, r := range f.contested() {
			d.id(r.id())
		}
		d.num(-1)
	}
	for _, r := range t.events.all() {
		d.id(r.id())
	}
	for _, e := range t.deeds.all() {
		d.id(e.rec.id())
	}
	d.num(-1)
}

// view adds what is worked out: readiness, seed, acres and doubts.
func digestView(d *digester, v *View) {
	for i := range v.Drills {
		digestDrill(d, &v.Drills[i])
	}
	for i := range v.Boxes {
		b := &v.Boxes[i]
		d.id(b.ID)
		d.num(int64(b.Dial))
		for _, sd := range b.Seed {
			d.id(sd.Lot)
			d.num(sd.Side)
			d.num(int64(sd.Mass))
		}
		d.num(int64(b.Left))
	}
	for i := range v.Grounds {
		g := &v.Grounds[i]
		d.id(g.ID)
		d.num(int64(g.Done))
		d.flag(g.Open)
		for _, sn := range g.Sown {
			d.id(sn.Lot)
			d.id(sn.Box)
			d.num(int64(sn.Mass))
		}
	}
	if n := len(v.Spots); n > 0 {
		d.text("spots")
		d.num(int64(n))
	}
	for i := range v.Spots {
		d.id(v.Spots[i].ID)
		d.id(v.Spots[i].Gone)
	}
	if n := len(v.Errands); n > 0 {
		d.text("errands")
		d.num(int64(n))
	}
	for i := range v.Errands {
		d.id(v.Errands[i].ID)
		d.id(v.Errands[i].By)
	}
	for x := range v.Doubts() {
		digestDoubt(d, &x)
	}
	d.flush()
}

func digestDrill(d *digester, dr *Drill) {
	d.id(dr.ID)
	d.flag(len(dr.Hitch.Missing) == 0 && len(dr.Hitch.Holds) == 0)
	for _, m := range dr.Hitch.Missing {
		d.text(m)
	}
	for _, h := range dr.Hitch.Holds {
		d.id(h.Entry)
	}
	for _, sg := range dr.Hitch.Signed {
		d.id(sg.Entry)
	}
	d.num(-1)
}

func digestDoubt(d *digester, x *Doubt) {
	d.text(string(x.Kind))
	d.flag(x.Settled)
	for _, id := range x.Entries {
		d.id(id)
	}
	d.num(-1)
}

// The digester is an entry.Fields: a body's fields go in as they stand.

// Int adds a number.
func (d *digester) Int(num int, v *int64) { d.num(int64(num)); d.num(*v) }

// Uint adds a number.
func (d *digester) Uint(num int, v *uint64) { d.num(int64(num)); d.num(int64(*v)) }

// Text adds a text.
func (d *digester) Text(num int, v *string) { d.num(int64(num)); d.text(*v) }

// Bytes adds bytes.
func (d *digester) Bytes(num int, v *[]byte) { d.num(int64(num)); d.bytes(*v) }

// Ref adds a reference.
func (d *digester) Ref(num int, v *entry.ID) { d.num(int64(num)); d.id(*v) }

// OptInt adds a number that may be left out.
func (d *digester) OptInt(num int, set *bool, v *int64) { d.num(int64(num)); d.flag(*set); d.num(*v) }

// OptText adds a text that may be left out.
func (d *digester) OptText(num int, set *bool, v *string) {
	d.num(int64(num))
	d.flag(*set)
	d.text(*v)
}

// Ints adds a list of numbers.
func (d *digester) Ints(num, n int, _ func(), at func(int) *int64) {
	d.num(int64(num))
	d.num(int64(n))
	for i := range n {
		d.num(*at(i))
	}
}

// Texts adds a list of texts.
func (d *digester) Texts(num int, v *[]string) {
	d.num(int64(num))
	d.num(int64(len(*v)))
	for _, t := range *v {
		d.text(t)
	}
}

// Refs adds a list of references.
func (d *digester) Refs(num int, v *[]entry.ID) {
	d.num(int64(num))
	d.num(int64(len(*v)))
	for _, id := range *v {
		d.id(id)
	}
}

// Body adds a body within a body.
func (d *digester) Body(_ int, b entry.Body) entry.Body {
	d.body(b)
	return b
}

// Group adds sub-bodies.
func (d *digester) Group(num, n int, _ func(), item func(int, entry.Fields)) {
	d.num(int64(num))
	d.num(int64(n))
	for i := range n {
		item(i, d)
	}
}
