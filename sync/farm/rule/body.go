package rule

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"hash"

	"turnrow/sync/entry"
)

// Digester writes values into a hash, each with its length or size fixed, so
// that no two states give the same bytes.
type Digester struct {
	Hash hash.Hash
	Buf  []byte
}

// PutNum writes a number.
func (d *Digester) PutNum(n int64) {
	d.Buf = binary.AppendVarint(d.Buf, n)
	if len(d.Buf) > 4096 {
		d.Flush()
	}
}

// PutBytes writes bytes after how many they are.
func (d *Digester) PutBytes(b []byte) {
	d.PutNum(int64(len(b)))
	d.Buf = append(d.Buf, b...)
}

// Flush hands what was written to the hash.
func (d *Digester) Flush() {
	d.Hash.Write(d.Buf)
	d.Buf = d.Buf[:0]
}

// PutText writes a text after how long it is.
func (d *Digester) PutText(s string) {
	d.PutNum(int64(len(s)))
	d.Buf = append(d.Buf, s...)
}

// PutID writes an entry's ID.
func (d *Digester) PutID(id entry.ID) {
	d.Buf = append(d.Buf, id.Log[:]...)
	d.PutNum(int64(id.Seq))
}

// PutFlag writes a yes or a no.
func (d *Digester) PutFlag(b bool) {
	if b {
		d.PutNum(1)
	} else {
		d.PutNum(0)
	}
}

// PutBody writes a body's kind and its fields; no body is kind 0.
func (d *Digester) PutBody(b entry.Body) {
	if b == nil {
		d.PutNum(0)
		return
	}
	d.PutNum(int64(b.Kind()))
	if u, ok := b.(*entry.Unknown); ok {
		d.PutBytes(u.Raw)
		return
	}
	b.Fields(d)
	d.PutNum(-1)
}

// SameBody says whether two bodies say the same.
func SameBody(a, b entry.Body) bool {
	var x, y Digester
	x.Hash, y.Hash = sha256.New(), sha256.New()
	x.PutBody(a)
	y.PutBody(b)
	x.Flush()
	y.Flush()
	return bytes.Equal(x.Hash.Sum(nil), y.Hash.Sum(nil))
}

// The digester is an entry.Fields: a body's fields go in as they stand.

// Int adds a number.
func (d *Digester) Int(num int, v *int64) { d.PutNum(int64(num)); d.PutNum(*v) }

// Uint adds a number.
func (d *Digester) Uint(num int, v *uint64) { d.PutNum(int64(num)); d.PutNum(int64(*v)) }

// Text adds a text.
func (d *Digester) Text(num int, v *string) { d.PutNum(int64(num)); d.PutText(*v) }

// Bytes adds bytes.
func (d *Digester) Bytes(num int, v *[]byte) { d.PutNum(int64(num)); d.PutBytes(*v) }

// Ref adds a reference.
func (d *Digester) Ref(num int, v *entry.ID) { d.PutNum(int64(num)); d.PutID(*v) }

// OptInt adds a number that may be left out.
func (d *Digester) OptInt(num int, set *bool, v *int64) {
	d.PutNum(int64(num))
	d.PutFlag(*set)
	d.PutNum(*v)
}

// OptText adds a text that may be left out.
func (d *Digester) OptText(num int, set *bool, v *string) {
	d.PutNum(int64(num))
	d.PutFlag(*set)
	d.PutText(*v)
}

// Ints adds a list of numbers.
func (d *Digester) Ints(num, n int, _ func(), at func(int) *int64) {
	d.PutNum(int64(num))
	d.PutNum(int64(n))
	for i := range n {
		d.PutNum(*at(i))
	}
}

// Texts adds a list of texts.
func (d *Digester) Texts(num int, v *[]string) {
	d.PutNum(int64(num))
	d.PutNum(int64(len(*v)))
	for _, t := range *v {
		d.PutText(t)
	}
}

// Refs adds a list of references.
func (d *Digester) Refs(num int, v *[]entry.ID) {
	d.PutNum(int64(num))
	d.PutNum(int64(len(*v)))
	for _, id := range *v {
		d.PutID(id)
	}
}

// Body adds a body within a body.
func (d *Digester) Body(_ int, b entry.Body) entry.Body {
	d.PutBody(b)
	return b
}

// Group adds sub-bodies.
func (d *Digester) Group(num, n int, _ func(), item func(int, entry.Fields)) {
	d.PutNum(int64(num))
	d.PutNum(int64(n))
	for i := range n {
		item(i, d)
	}
}
