package wire

import (
	"google.golang.org/protobuf/encoding/protowire"

	"turnrow/sync/entry"
)

// A reference is one number: the number of an entry in its log, below it the
// place of that log's device in the writer's list of peers, and in the last bit
// whether that place has few bits or many. A crew of a day's devices has the
// short form, and a drill that goes from farm to farm for 30 years still has
// room.
const (
	fewBits  = 5
	manyBits = 16
	maxRef   = 1<<(64-manyBits-1) - 1 // the last entry that can be named
)

// packed is a reference to entry n of the peer in a place. What cannot be named
// gives 0.
func packed(place int, n uint64) uint64 {
	switch {
	case n > maxRef || place >= 1<<manyBits:
		return 0
	case place < 1<<fewBits:
		return n<<(fewBits+1) | uint64(place)<<1
	}
	return n<<(manyBits+1) | uint64(place)<<1 | 1
}

// unpacked is what packed made a reference of; n is 0 where packed makes none such.
func unpacked(ref uint64) (place int, n uint64) {
	if ref&1 == 0 {
		return int(ref >> 1 & (1<<fewBits - 1)), ref >> (fewBits + 1)
	}
	if place = int(ref >> 1 & (1<<manyBits - 1)); place < 1<<fewBits {
		return 0, 0
	}
	return place, ref >> (manyBits + 1)
}

// writer appends a body's fields as the protocol buffer encoding has them, in
// order, zero values left out.
type writer struct {
	buf []byte
	ref func(entry.ID) (uint64, error)
	err error
}

func (w *writer) tag(num int, t protowire.Type) {
	w.buf = protowire.AppendTag(w.buf, protowire.Number(num), t)
}

func (w *writer) varint(num int, v uint64) {
	w.tag(num, protowire.VarintType)
	w.buf = protowire.AppendVarint(w.buf, v)
}

func (w *writer) Int(num int, v *int64) {
	if *v != 0 {
		w.varint(num, uint64(*v))
	}
}

func (w *writer) Uint(num int, v *uint64) {
	if *v != 0 {
		w.varint(num, *v)
	}
}

func (w *writer) Text(num int, v *string) {
	if *v != "" {
		w.tag(num, protowire.BytesType)
		w.buf = protowire.AppendString(w.buf, *v)
	}
}

func (w *writer) Bytes(num int, v *[]byte) {
	if len(*v) > 0 {
		w.tag(num, protowire.BytesType)
		w.buf = protowire.AppendBytes(w.buf, *v)
	}
}

func (w *writer) packed(id entry.ID) uint64 {
	p, err := w.ref(id)
	if err != nil && w.err == nil {
		w.err = err
	}
	return p
}

func (w *writer) Ref(num int, v *entry.ID) {
	if !v.IsZero() {
		w.varint(num, w.packed(*v))
	}
}

func (w *writer) OptInt(num int, set *bool, v *int64) {
	if *set {
		w.varint(num, uint64(*v))
	}
}

func (w *writer) OptText(num int, set *bool, v *string) {
	if *set {
		w.tag(num, protowire.BytesType)
		w.buf = protowire.AppendString(w.buf, *v)
	}
}

func (w *writer) list(num, n int, at func(i int) uint64) {
	if n == 0 {
		return
	}
	var vals []byte
	for i := range n {
		vals = protowire.AppendVarint(vals, at(i))
	}
	w.tag(num, protowire.BytesType)
	w.buf = protowire.AppendBytes(w.buf, vals)
}

func (w *writer) Ints(num, n int, _ func(), at func(i int) *int64) {
	w.list(num, n, func(i int) uint64 { return uint64(*at(i)) })
}

func (w *writer) Refs(num int, v *[]entry.ID) {
	w.list(num, len(*v), func(i int) uint64 { return w.packed((*v)[i]) })
}

func (w *writer) Texts(num int, v *[]string) {
	for _, s := range *v {
		w.tag(num, protowire.BytesType)
		w.buf = protowire.AppendString(w.buf, s)
	}
}

func (w *writer) Group(num, n int, _ func(), item func(i int, f entry.Fields)) {
	for i := range n {
		w.nested(num, func() { item(i, w) })
	}
}

func (w *writer) Body(base int, b entry.Body) entry.Body {
	if b != nil {
		w.nested(base+int(b.Kind()), func() { b.Fields(w) })
	}
	return b
}

// nested writes what fill appends as one length-delimited field.
func (w *writer) nested(num int, fill func()) {
	outer := w.buf
	w.buf = nil
	fill()
	inner := w.buf
	w.buf = outer
	w.tag(num, protowire.BytesType)
	w.buf = protowire.AppendBytes(w.buf, inner)
}

// resolver sets an ID to what a reference names, and says whether it may be
// named.
type resolver func(ref uint64, id *entry.ID) bool

// reader reads what writer wrote. It takes fields in rising order only; the
// first thing amiss stops it, and done says whether all was understood.
type reader struct {
	buf  []byte
	ref  resolver
	why  string // what was amiss; "" while all is well
	last protowire.Number
}

// next takes the tag of field num, if that is what comes next.
func (r *reader) next(num int, t protowire.Type) bool {
	if r.why != "" || len(r.buf) == 0 {
		return false
	}
	n, typ, size := protowire.ConsumeTag(r.buf)
	if size < 0 {
		return r.fail("torn field")
	}
	if n < r.last {
		return r.fail("fields out of order")
	}
	if int(n) != num {
		return false
	}
	if typ != t {
		return r.fail("field of another type")
	}
	r.last, r.buf = n, r.buf[size:]
	return true
}

func (r *reader) fail(why string) bool {
	r.why = why
	return false
}

func (r *reader) varint(num int) (uint64, bool) {
	if !r.next(num, protowire.VarintType) {
		return 0, false
	}
	v, size := protowire.ConsumeVarint(r.buf)
	if size < 0 {
		return 0, r.fail("torn number")
	}
	r.buf = r.buf[size:]
	return v, true
}

func (r *reader) bytes(num int) ([]byte, bool) {
	if !r.next(num, protowire.BytesType) {
		return nil, false
	}
	v, size := protowire.ConsumeBytes(r.buf)
	if size < 0 {
		return nil, r.fail("torn text")
	}
	r.buf = r.buf[size:]
	return v, true
}

func (r *reader) Int(num int, v *int64) {
	if n, ok := r.varint(num); ok {
		*v = int64(n)
	}
}

func (r *reader) Uint(num int, v *uint64) {
	if n, ok := r.varint(num); ok {
		*v = n
	}
}

func (r *reader) Text(num int, v *string) {
	if b, ok := r.bytes(num); ok {
		*v = string(b)
	}
}

func (r *reader) Bytes(num int, v *[]byte) {
	if b, ok := r.bytes(num); ok {
		*v = append((*v)[:0:0], b...)
	}
}

func (r *reader) Ref(num int, v *entry.ID) {
	if n, ok := r.varint(num); ok {
		r.unpack(n, v)
	}
}

func (r *reader) unpack(n uint64, id *entry.ID) {
	if !r.ref(n, id) {
		r.fail("reference to something that its writer had not seen")
	}
}

func (r *reader) OptInt(num int, set *bool, v *int64) {
	if n, ok := r.varint(num); ok {
		*set, *v = true, int64(n)
	}
}

func (r *reader) OptText(num int, set *bool, v *string) {
	if b, ok := r.bytes(num); ok {
		*set, *v = true, string(b)
	}
}

func (r *reader) list(num int, add func(uint64)) {
	vals, ok := r.bytes(num)
	for ok && len(vals) > 0 {
		v, size := protowire.ConsumeVarint(vals)
		if size < 0 {
			r.fail("torn list")
			return
		}
		vals = vals[size:]
		add(v)
	}
}

func (r *reader) Ints(num, n int, grow func(), at func(i int) *int64) {
	r.list(num, func(v uint64) {
		grow()
		*at(n) = int64(v)
		n++
	})
}

func (r *reader) Refs(num int, v *[]entry.ID) {
	r.list(num, func(n uint64) {
		*v = append(*v, entry.ID{})
		r.unpack(n, &(*v)[len(*v)-1])
	})
}

func (r *reader) Texts(num int, v *[]string) {
	for {
		b, ok := r.bytes(num)
		if !ok {
			return
		}
		*v = append(*v, string(b))
	}
}

func (r *reader) Group(num, n int, grow func(), item func(i int, f entry.Fields)) {
	for {
		b, ok := r.bytes(num)
		if !ok {
			return
		}
		grow()
		r.nested(b, func() { item(n, r) })
		n++
	}
}

func (r *reader) Body(base int, b entry.Body) entry.Body {
	if len(r.buf) == 0 || r.why != "" {
		return b
	}
	num, _, size := protowire.ConsumeTag(r.buf)
	if size < 0 || int(num) <= base {
		return b
	}
	kind := int(num) - base
	inner := entry.New(entry.Kind(kind)) // which drops what goes beyond a kind's 16 bits
	if inner == nil || int(inner.Kind()) != kind {
		r.fail("body of an unknown kind within")
		return b
	}
	if raw, ok := r.bytes(int(num)); ok {
		r.nested(raw, func() { inner.Fields(r) })
	}
	return inner
}

// nested reads b as fields of their own, to its end.
func (r *reader) nested(b []byte, fill func()) {
	outer, last := r.buf, r.last
	r.buf, r.last = b, 0
	fill()
	r.done()
	r.buf, r.last = outer, last
}

// done notes anything that no field took.
func (r *reader) done() {
	if r.why == "" && len(r.buf) > 0 {
		r.why = "a field that this version does not know"
	}
}
