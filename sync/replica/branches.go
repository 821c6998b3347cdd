package replica

import (
	"errors"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// branches is how far the branches of forked logs are held.
func (r *Replica) branches() chain.Frontier {
	if b, ok := r.log.(exchange.Branching); ok {
		return b.Branches()
	}
	return nil
}

// reread reads on in the branches of forked logs, as far as they have come.
func (r *Replica) reread() error {
	marks := r.branches()
	r.mu.Lock()
	defer r.mu.Unlock()
	if slices.Equal(marks, r.read) {
		return nil
	}
	if _, err := r.readOn(marks); err != nil {
		return err
	}
	r.tell()
	return nil
}

// readOn brings what has come to branches into the state. Where a branch is new,
// or something that was named is here now, that changes what entries refer to,
// and the record is folded anew: once for all that came together.
func (r *Replica) readOn(marks chain.Frontier) (anew bool, err error) {
	es, ok, err := r.grown(marks)
	if err != nil || !ok {
		return true, errors.Join(err, r.fork(marks))
	}
	r.state.Apply(es...)
	r.read = marks
	return false, nil
}

// grown is what has come to the branches that were read, where no more than that
// has happened.
func (r *Replica) grown(marks chain.Frontier) (es []entry.Entry, ok bool, err error) {
	if r.forked == nil || !slices.EqualFunc(marks, r.read, func(a, b chain.Mark) bool { return a.Log == b.Log }) {
		return nil, false, nil
	}
	for i, m := range marks {
		if m == r.read[i] || r.forked.Holds(m) {
			continue
		}
		runs, err := r.beyond(m.Log, r.read[i].Seq)
		if err != nil {
			return nil, false, err
		}
		for _, run := range runs {
			more, anew := r.forked.Grow(run)
			if anew {
				return nil, false, nil
			}
			es = append(es, more...)
		}
	}
	return es, !r.forked.Stale(), nil
}

// fork folds a record with forked logs from nothing.
func (r *Replica) fork(marks chain.Frontier) error {
	forks, err := r.forks(marks)
	if err != nil {
		return err
	}
	state := farm.New(r.id)
	err = r.each(forks, state.Branch, func(e entry.Entry) { state.Apply(e) })
	if err == nil {
		r.state, r.forked, r.read = state, forks, marks
	}
	return err
}

// Each gives the record as it is folded: each branch of a forked log by name,
// with the entry that it follows on, and every entry. Each device's entries
// come in order.
func (r *Replica) Each(branch func(name entry.LogID, of entry.ID), fn func(entry.Entry)) error {
	forks, err := r.forks(r.branches())
	if err != nil {
		return err
	}
	return r.each(forks, branch, fn)
}

func (r *Replica) each(forks *wire.Forks, branch func(entry.LogID, entry.ID), fn func(entry.Entry)) error {
	for _, d := range forks.Full() {
		branch(chain.Full(d), entry.ID{Log: d.Log()})
	}
	forks.Each(func(s *wire.Stretch, es []entry.Entry) {
		if !s.Of.Log.IsZero() {
			branch(s.Name, s.Of)
		}
		for _, e := range es {
			fn(e)
		}
	})
	return r.log.Each(nil, func(e entry.Entry) error {
		if !forks.Forked(e.Log) {
			fn(forks.Read(e))
		}
		return nil
	})
}

// forks takes the forked logs apart.
func (r *Replica) forks(marks chain.Frontier) (*wire.Forks, error) {
	runs := map[entry.DeviceID][]entry.Run{}
	var devices []entry.DeviceID
	for _, m := range marks {
		branch, err := r.whole(m.Log)
		if err != nil || len(branch) == 0 {
			return nil, err
		}
		d := branch[0].Device
		if runs[d] == nil {
			devices = append(devices, d)
			if runs[d], err = r.whole(d.Log()); err != nil {
				return nil, err
			}
		}
		runs[d] = append(runs[d], branch...)
	}
	forks := &wire.Forks{}
	for _, d := range devices {
		head, _ := r.log.Head(d)
		if err := forks.Add(chain.Start(r.id, d, head.Key), runs[d]); err != nil {
			return nil, err
		}
	}
	if b, ok := r.log.(exchange.Branching); ok {
		err := forks.Named(b.Full(), func(fn func(entry.Entry) error) error { return r.log.Each(nil, fn) })
		if err != nil {
			return nil, err
		}
	}
	return forks, nil
}

// whole is all runs of a log or a branch.
func (r *Replica) whole(name entry.LogID) ([]entry.Run, error) { return r.beyond(name, 0) }

// beyond is the runs of a log or a branch after one of its ends.
func (r *Replica) beyond(name entry.LogID, end uint64) ([]entry.Run, error) {
	var all []entry.Run
	for from, more := end+1, true; more; {
		var runs []entry.Run
		var err error
		if runs, more, err = r.log.Runs(name, from, exchange.UsualBatch); err != nil || len(runs) == 0 {
			return all, err
		}
		all = append(all, runs...)
		from = runs[len(runs)-1].Last() + 1
	}
	return all, nil
}

// take brings new entries into the state.
func (r *Replica) take(es []entry.Entry) {
	if r.forked == nil {
		r.state.Apply(es...)
		return
	}
	if slices.ContainsFunc(es, func(e entry.Entry) bool { return r.forked.Forked(e.Log) }) {
		// Its log goes on under a branch's name, and others may refer to it.
		if anew, err := r.readOn(r.branches()); anew && err == nil {
			return
		}
	}
	for _, e := range es {
		if !r.forked.Forked(e.Log) {
			r.state.Apply(r.forked.Read(e))
		}
	}
	if r.forked.Stale() {
		_ = r.fork(r.read) // else with the next that comes
	}
}

// seen is what a writer here may say that it has seen: of whole logs as the
// log takes it, and of branches beside it.
func (r *Replica) seen() (whole chain.Frontier, branches []entry.Mark) {
	for _, m := range r.state.Applied() {
		if m.Log.IsBranch() || r.forked != nil && r.forked.Forked(m.Log) {
			branches = append(branches, m)
		} else {
			whole = append(whole, m)
		}
	}
	return whole, branches
}

// newer is what of the branches goes beyond what a log says that its writer
// had seen.
func newer(h *chain.Head, branches []entry.Mark) []entry.Mark {
	return slices.DeleteFunc(branches, func(m entry.Mark) bool {
		i := h.Peer(m.Log)
		return i >= 0 && h.Seen[i] >= m.Seq
	})
}

// named is what the record says of a forked log: see [farm.State.Named].
func (r *Replica) named(d entry.DeviceID) (held, wanted []entry.Mark) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.state.Named(d)
}
