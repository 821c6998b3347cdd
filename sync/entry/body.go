package entry

import "turnrow/sync/units"

// Kind tells bodies apart; it is the body's field number in the schema.
type Kind uint16

// Body is what an entry says. Its fields are named, with their numbers in the
// schema, by one method that serves reading and writing alike.
type Body interface {
	Kind() Kind
	// Fields shows each field to f in rising order of number.
	Fields(f Fields)
	// Check says what is out of range, naming field, value and range.
	Check() error
}

// Fields reads or writes the fields of a body. A field at its zero value is
// left out, except for the Opt kinds, which are left out where they are unset.
type Fields interface {
	Int(num int, v *int64)
	Uint(num int, v *uint64)
	Text(num int, v *string)
	Bytes(num int, v *[]byte)
	Ref(num int, v *ID)
	OptInt(num int, set *bool, v *int64)
	OptText(num int, set *bool, v *string)
	// Ints is a packed list: n values now, grow makes room for one more.
	Ints(num int, n int, grow func(), at func(i int) *int64)
	// Texts is a list of texts.
	Texts(num int, v *[]string)
	// Refs is a list of references.
	Refs(num int, v *[]ID)
	// Body is a whole body within this one, under base plus its kind; it gives
	// back what it read, or b itself.
	Body(base int, b Body) Body
	// Group is a list of n sub-bodies, each with fields of its own.
	Group(num int, n int, grow func(), item func(i int, f Fields))
}

// Opt is a field that may be left out, which says «no change» where a body
// sets details of a thing.
type Opt[T any] struct {
	Val T
	Set bool
}

// Some is a field that is set.
func Some[T any](v T) Opt[T] { return Opt[T]{v, true} }

// Unknown is a body that this version does not know, or cannot accept. It is
// kept, relayed, counted and shown; the fold goes on without it.
type Unknown struct {
	Num Kind   // its field number in the schema; 0 where the entry had none
	Raw []byte // the body as it was written
	Why string // what was not understood
}

// Kind is the number that the body was written under.
func (b *Unknown) Kind() Kind { return b.Num }

// Fields has none to show.
func (b *Unknown) Fields(Fields) {}

// Check always passes: an unknown body has no range.
func (b *Unknown) Check() error { return nil }

// amendedBase keeps the numbers of a body within a body clear of its fields.
const amendedBase = 100

func number[T ~uint8 | ~uint16 | ~uint32](f Fields, num int, p *T) {
	v := uint64(*p)
	f.Uint(num, &v)
	*p = T(v)
	if uint64(*p) != v {
		*p = ^T(0) // no known value: Check refuses it
	}
}

func fixed(f Fields, num int, dst []byte) {
	zero := true
	for _, b := range dst {
		zero = zero && b == 0
	}
	var v []byte
	if !zero {
		v = dst
	}
	f.Bytes(num, &v)
	if len(v) == len(dst) {
		copy(dst, v)
	}
}

func masses(f Fields, num int, v *[]units.Mass) {
	f.Ints(num, len(*v), func() { *v = append(*v, 0) }, func(i int) *int64 { return (*int64)(&(*v)[i]) })
}
