package farm

import "slices"

// ordered is a set of entries in the total order. New ones wait in a tail that
// is sorted in when the set is next read, so that a late entry costs no more
// than an early one.
type ordered struct {
	in   []*rec
	tail []*rec
}

func (o *ordered) put(r *rec) {
	if len(o.tail) == 0 && (len(o.in) == 0 || o.in[len(o.in)-1].compare(r) < 0) {
		o.in = append(o.in, r)
		return
	}
	o.tail = append(o.tail, r)
}

func (o *ordered) take(r *rec) {
	all := o.all()
	if i, ok := slices.BinarySearchFunc(all, r, (*rec).compare); ok {
		o.in = slices.Delete(all, i, i+1)
	}
}

// all is the set in order. It is not to be kept past the next put or take.
func (o *ordered) all() []*rec {
	if len(o.tail) == 0 {
		return o.in
	}
	slices.SortFunc(o.tail, (*rec).compare)
	at, _ := slices.BinarySearchFunc(o.in, o.tail[0], (*rec).compare)
	moved := slices.Clone(o.in[at:])
	o.in = o.in[:at]
	for len(moved) > 0 && len(o.tail) > 0 {
		next := &moved
		if o.tail[0].compare(moved[0]) < 0 {
			next = &o.tail
		}
		o.in = append(o.in, (*next)[0])
		*next = (*next)[1:]
	}
	o.in = append(append(o.in, moved...), o.tail...)
	o.tail = nil
	return o.in
}
