package order

import (
	"slices"
)

// Ordered is a set of entries in the total order, or of what is kept of them.
// New ones wait in a tail that is sorted in when the set is next read, so that
// a late entry costs no more than an early one. Reading therefore writes, unless
// the tail is empty: who reads several at once calls All before.
type Ordered[T item] struct {
	In   []T // sorted by Compare; it is the whole set only while tail is empty
	tail []T // in the order in which they came
}

// item is an entry, or what is kept of it.
type item interface{ Record() *Rec }

// Record is the entry itself.
func (r *Rec) Record() *Rec { return r }

func inOrder[T item](a, b T) int { return a.Record().Compare(b.Record()) }

// Put adds an entry; one that is there already is not looked for.
func (o *Ordered[T]) Put(x T) {
	if len(o.tail) == 0 && (len(o.In) == 0 || inOrder(o.In[len(o.In)-1], x) < 0) {
		o.In = append(o.In, x)
		return
	}
	o.tail = append(o.tail, x)
}

// Take takes an entry out, where it is there.
func (o *Ordered[T]) Take(r *Rec) {
	all := o.All()
	if i, ok := slices.BinarySearchFunc(all, r, func(x T, r *Rec) int { return x.Record().Compare(r) }); ok {
		o.In = slices.Delete(all, i, i+1)
	}
}

// All is the set in order. It is not to be kept past the next put or take.
func (o *Ordered[T]) All() []T {
	if len(o.tail) == 0 {
		return o.In
	}
	slices.SortFunc(o.tail, inOrder)
	at, _ := slices.BinarySearchFunc(o.In, o.tail[0], inOrder)
	moved := slices.Clone(o.In[at:])
	o.In = o.In[:at]
	for len(moved) > 0 && len(o.tail) > 0 {
		next := &moved
		if inOrder(o.tail[0], moved[0]) < 0 {
			next = &o.tail
		}
		o.In = append(o.In, (*next)[0])
		*next = (*next)[1:]
	}
	o.In = append(append(o.In, moved...), o.tail...)
	o.tail = nil
	return o.In
}
