package replica

import (
	"fmt"
	"slices"

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
	w := weigher{Replica: r, wall: r.wall(), taken: map[entry.DeviceID]weight{}}
	for i := range runs {
		if err := w.within(&runs[i]); err != nil {
			beyond = append(beyond, exchange.Refusal{Device: runs[i].Device, First: runs[i].First, Err: err})
			continue
		}
		rest = append(rest, runs[i])
	}
	return rest, beyond
}

// weigher holds the runs of one call against their devices' budgets.
type weigher struct {
	*Replica
	wall  int64
	taken map[entry.DeviceID]weight // by the runs before
}

type weight struct{ entries, bytes, rights uint64 }

// within says whether a run keeps to its device's budget, which all branches of
// its log share. A run that goes no further than its log is weighed only by what
// is stored: whether it is of another branch is not known yet.
func (w *weigher) within(run *entry.Run) error {
	head, ok := w.log.Head(run.Device)
	if !ok {
		return nil
	}
	var since int64
	w.Read(func(s *farm.State) { since, ok = s.Since(run.Device) })
	if !ok {
		return nil // a stranger, who has bounds of his own
	}
	news := w.taken[run.Device]
	if err := w.rights(run, head.Seq, since, &news); err != nil {
		return err
	}
	entries, bytes, holds := exchange.Budget(since, w.wall)
	number, size := w.weight(&head)
	for i, raw := range run.Entries {
		if run.First+uint64(i) > head.Seq {
			news.entries, news.bytes = news.entries+1, news.bytes+uint64(len(raw))
		}
	}
	number, size = number+news.entries, size+news.bytes
	switch {
	case number <= entries && size <= bytes:
	case number <= entries+holds && size <= bytes+holds*entry.MaxText && w.onlyHolds(head, *run):
	case number <= shares*entries && size <= shares*bytes && w.wanted(run):
	default:
		return fmt.Errorf("%w: its log would come to %d entries of %d and %d bytes of %d so far",
			exchange.ErrBudget, number, entries, size, bytes)
	}
	w.taken[run.Device] = news
	return nil
}

// shares is how many budgets a device may use up with what is wanted: one for each
// branch that is kept as it comes, and its own. Each may be all that somebody else
// had room for.
const shares = 1 + exchange.MaxForks

// wanted says whether entries here wait for what a run brings, or for what comes
// after it. Whoever wrote them had room for it, where another branch of its log
// had not used that up; here they would wait for ever.
func (r *Replica) wanted(run *entry.Run) bool {
	_, wanted := r.named(run.Device)
	return slices.ContainsFunc(wanted, func(m entry.Mark) bool { return m.Seq >= run.First })
}

// weight is what is stored of a log with its branches.
func (r *Replica) weight(head *chain.Head) (entries, bytes uint64) {
	if b, ok := r.log.(exchange.Branching); ok {
		return b.Stored(head.Log.Device())
	}
	return head.Seq, head.Bytes
}

// rights says whether the entries about rights that a run brings keep to their
// device's budget, and counts them. They are few, so the others are not read for
// it.
func (w *weigher) rights(run *entry.Run, held uint64, since int64, news *weight) error {
	brings, stops := false, true
	for i, raw := range run.Entries {
		if k := wire.KindOf(raw); run.First+uint64(i) > held && farm.AboutRights(k) {
			brings = true
			news.rights++
			stops = stops && (k == entry.KindDeviceStopped || k == entry.KindMemberStopped)
		}
	}
	if !brings {
		return nil
	}
	n := news.rights
	w.Read(func(s *farm.State) { n += s.RightsOf(run.Device) })
	most, more := exchange.Rights(since, w.wall)
	if n <= most || stops && n <= most+more || n <= shares*(most+more) && w.wanted(run) {
		return nil
	}
	return fmt.Errorf("%w: its log would come to %d entries about rights, of %d so far", exchange.ErrRights, n, most)
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
