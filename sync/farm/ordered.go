package farm

import "slices"

// ordered is a set of entries in the total order, or of what is kept of them.
// New ones wait in a tail that is sorted in when the set is next read, so that
// a late entry costs no more than an early one.
type ordered[T item] struct {
	in   []T
	tail []T
}

// item is an entry, or what is kept of it.
type item interface{ record() *rec }

func (r *rec) record() *rec { return r }

func inOrder[T item](a, b T) int { return a.record().compare(b.record()) }

func (o *ordered[T]) put(x T) {
	if len(o.tail) == 0 && (len(o.in) == 0 || inOrder(o.in[len(o.in)-1], x) < 0) {
		o.in = append(o.in, x)
		return
	}
	o.tail = append(o.tail, x)
}

func (o *ordered[T]) take(r *rec) {
	all := o.all()
	if i, ok := slices.BinarySearchFunc(all, r, func(x T, r *rec) int { return x.record().compare(r) }); ok {
		o.in = slices.Delete(all, i, i+1)
	}
}

// all is the set in order. It is not to be kept past the next put or take.
func (o *ordered[T]) all() []T {
	if len(o.tail) == 0 {
		return o.in
	}
	slices.SortFunc(o.tail, inOrder)
	at, _ := slices.BinarySearchFunc(o.in, o.tail[0], inOrder)
	moved := slices.Clone(o.in[at:])
	o.in = o.in[:at]
	for len(moved) > 0 && len(o.tail) > 0 {
		next := &moved
		if inOrder(o.tail[0], moved[0]) < 0 {
			next = &o.tail
		}
		o.in = append(o.in, (*next)[0])
		*next = (*next)[1:]
	}
	o.in = append(append(o.in, moved...), o.tail...)
	o.tail = nil
	return o.in
}
