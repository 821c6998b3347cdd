package replica

import (
	"errors"
	"fmt"
	"io"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// saveAfter is how many entries are folded again on opening before the state
// is saved anew: a few milliseconds' worth.
const saveAfter = 4000

// load starts from the saved state, if there is one that can be read, and
// gives the heads up to which the log went into it. The log has everything: a
// saved state that cannot be read is only passed over.
func (r *Replica) load() ([]chain.Head, error) {
	r.state = farm.New(r.id)
	heads, saved, err := r.log.Fold()
	if saved == nil || err != nil {
		return nil, err
	}
	defer saved.Close()
	fold, err := wire.OpenFold(r.id, saved)
	if err != nil {
		return nil, nil
	}
	r.state.Grow(chain.Reached(heads))
	if err := r.apply(fold); err != nil {
		r.state = farm.New(r.id)
		return nil, nil
	}
	return heads, nil
}

// chunk is a part of a saved state, read.
type chunk struct {
	es  []entry.Entry
	err error
}

// apply reads chunks while it applies those before them.
func (r *Replica) apply(fold *wire.Fold) error {
	read, used := make(chan chunk, 1), make(chan []entry.Entry, 3)
	for range cap(used) {
		used <- nil // room for one chunk that is being read, one that is waiting and one that is being applied
	}
	go func() {
		defer close(read)
		for room := range used {
			es, err := fold.Next(room)
			if err == io.EOF {
				return
			}
			read <- chunk{es, err}
			if err != nil {
				return
			}
		}
	}()
	defer func() { // nobody must read on once this has returned, not even where applying panics
		close(used)
		for range read {
			continue
		}
	}()
	var failed error
	held := map[entry.LogID]uint64{}
	for c := range read {
		if failed == nil {
			failed = errors.Join(c.err, follow(held, c.es))
		}
		if failed == nil {
			r.state.Apply(c.es...)
		}
		used <- c.es
	}
	return failed
}

// follow checks that each device's entries follow on those held, as the log
// makes sure of for all others, and moves held on.
func follow(held map[entry.LogID]uint64, es []entry.Entry) error {
	for i := range es {
		if held[es[i].Log]++; es[i].Seq != held[es[i].Log] {
			return fmt.Errorf("%w: entry %d of %s is out of its turn", wire.ErrFold, es[i].Seq, es[i].Log)
		}
	}
	return nil
}

// Save keeps the state, if enough has come since it was last kept, so that the
// next opening need not read all of the record.
func (r *Replica) Save() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.unsaved < saveAfter {
		return nil
	}
	return r.save()
}

func (r *Replica) save() error {
	if r.forked != nil {
		return nil // what entries refer to may change as branches come: they are read anew
	}
	held := map[entry.LogID]uint64{}
	r.state.Entries(func(e entry.Entry) { held[e.Log] = e.Seq })
	var heads []chain.Head
	for _, m := range r.log.Frontier() {
		h, ok := r.log.Head(m.Log.Device())
		if !ok || h.Seq != held[m.Log] {
			return nil // entries are on their way in: another time
		}
		heads = append(heads, h)
	}
	if err := r.log.SaveFold(r.state.Applied(), heads, wire.SaveFold(r.state)); err != nil {
		return err
	}
	r.unsaved = 0
	return nil
}
