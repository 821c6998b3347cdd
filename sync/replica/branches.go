package replica

import (
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

// reread folds the record anew where a branch of a forked log has come or has
// grown: that changes what entries of others refer to. It is rare.
func (r *Replica) reread() error {
	marks := r.branches()
	r.mu.Lock()
	defer r.mu.Unlock()
	if slices.Equal(marks, r.read) {
		return nil
	}
	if err := r.fork(marks); err != nil {
		return err
	}
	close(r.changed)
	r.changed = make(chan struct{})
	return nil
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
func (r *Replica) Each(branch func(name entry.DeviceID, of entry.ID), fn func(entry.Entry)) error {
	forks, err := r.forks(r.branches())
	if err != nil {
		return err
	}
	return r.each(forks, branch, fn)
}

func (r *Replica) each(forks *wire.Forks, branch func(entry.DeviceID, entry.ID), fn func(entry.Entry)) error {
	forks.Each(func(s *wire.Stretch, es []entry.Entry) {
		if !s.Of.Device.IsZero() {
			branch(s.Name, s.Of)
		}
		for _, e := range es {
			fn(e)
		}
	})
	return r.log.Each(nil, func(e entry.Entry) error {
		if !forks.Forked(e.Device) {
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
		branch, err := r.whole(m.Device)
		if err != nil || len(branch) == 0 {
			return nil, err
		}
		d := branch[0].Device
		if runs[d] == nil {
			devices = append(devices, d)
			if runs[d], err = r.whole(d); err != nil {
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
	return forks, nil
}

// whole is all runs of a log or a branch.
func (r *Replica) whole(name entry.DeviceID) ([]entry.Run, error) {
	var all []entry.Run
	for from, more := uint64(1), true; more; {
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
	for _, e := range es {
		if r.forked.Forked(e.Device) {
			// Its log goes on under a branch's name, and others may refer to it.
			if r.fork(r.branches()) == nil {
				return
			}
		}
	}
	for _, e := range es {
		r.state.Apply(r.forked.Read(e))
	}
}

// seen is what a writer here may say that it has seen: of whole logs as the
// log takes it, and of branches beside it.
func (r *Replica) seen() (whole chain.Frontier, branches []entry.Mark) {
	for _, m := range r.state.Applied() {
		if r.read.Seq(m.Device) == 0 {
			whole = append(whole, m)
		} else {
			branches = append(branches, m)
		}
	}
	return whole, branches
}

// newer is what of the branches goes beyond what a log says that its writer
// had seen.
func newer(h *chain.Head, branches []entry.Mark) []entry.Mark {
	return slices.DeleteFunc(branches, func(m entry.Mark) bool {
		i := h.Peer(m.Device)
		return i >= 0 && h.Seen[i] >= m.Seq
	})
}

// vouched is what the record says of the branches of a device's log: see
// [farm.State.Vouched].
func (r *Replica) vouched(d entry.DeviceID) ([]entry.DeviceID, []entry.Mark) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.state.Vouched(d)
}
