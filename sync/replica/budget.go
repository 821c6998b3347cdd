package replica

import (
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// Clock has the replica hold what devices have it store against their budgets,
// by a wall clock in ms since 1970. It is set before the first call.
func (r *Replica) Clock(wall func() int64) { r.wall = wall }

// budgets takes out the runs beyond what their devices may have others store.
// What a device has itself written is its own to store.
func (r *Replica) budgets(runs []entry.Run) (rest []entry.Run, beyond []exchange.Refusal) {
	if r.wall == nil {
		return runs, nil
	}
	wall := r.wall()
	for i := range runs {
		if err := r.within(&runs[i], wall); err != nil {
			beyond = append(beyond, exchange.Refusal{Device: runs[i].Device, First: runs[i].First, Err: err})
			continue
		}
		rest = append(rest, runs[i])
	}
	return rest, beyond
}

// within says whether a run keeps to its device's budget, which all branches of
// its log share. Of two runs of a device in one call each is held against what is
// stored already: a call is a small part of a day's. For the same reason a run
// that goes no further than its log is weighed only by what is stored: whether it
// is of another branch is not known yet.
func (r *Replica) within(run *entry.Run, wall int64) error {
	head, ok := r.log.Head(run.Device)
	if !ok {
		return nil
	}
	var since int64
	r.Read(func(s *farm.State) { since, ok = s.Since(run.Device) })
	if !ok {
		return nil // a stranger, who has bounds of his own
	}
	if err := r.rights(run, head.Seq, since, wall); err != nil {
		return err
	}
	entries, bytes, holds := exchange.Budget(since, wall)
	number, size := r.weight(&head)
	for i, raw := range run.Entries {
		if run.First+uint64(i) > head.Seq {
			number, size = number+1, size+uint64(len(raw))
		}
	}
	if number <= entries && size <= bytes {
		return nil
	}
	if number <= entries+holds && size <= bytes+holds*entry.MaxText && r.onlyHolds(head, *run) {
		return nil
	}
	return fmt.Errorf("%w: its log would come to %d entries of %d and %d bytes of %d so far",
		exchange.ErrBudget, number, entries, size, bytes)
}

// weight is what is stored of a log with its branches.
func (r *Replica) weight(head *chain.Head) (entries, bytes uint64) {
	if b, ok := r.log.(exchange.Branching); ok {
		return b.Stored(head.Device)
	}
	return head.Seq, head.Bytes
}

// rights says whether the entries about rights that a run brings keep to their
// device's budget. They are few, so the others are not read for it.
func (r *Replica) rights(run *entry.Run, held uint64, since, wall int64) error {
	news, stops := uint64(0), true
	for i, raw := range run.Entries {
		if k := wire.KindOf(raw); run.First+uint64(i) > held && farm.AboutRights(k) {
			news++
			stops = stops && (k == entry.KindDeviceStopped || k == entry.KindMemberStopped)
		}
	}
	if news == 0 {
		return nil
	}
	var before uint64
	r.Read(func(s *farm.State) { before = s.RightsOf(run.Device) })
	most, more := exchange.Rights(since, wall)
	if n := before + news; n <= most || stops && n <= most+more {
		return nil
	}
	return fmt.Errorf("%w: its log would come to %d entries about rights, of %d so far", exchange.ErrRights, before+news, most)
}

// onlyHolds says whether all that a run brings is holds.
func (r *Replica) onlyHolds(head chain.Head, run entry.Run) bool {
	if run.First != head.Seq+1 {
		return false
	}
	_, _, es, err := wire.Open(head, run, nil)
	for i := range es {
		if es[i].Body.Kind() != entry.KindHoldRaised {
			return false
		}
	}
	return err == nil
}
