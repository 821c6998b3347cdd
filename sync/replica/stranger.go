package replica

import (
	"errors"
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// Take checks and keeps runs. Those that are not taken are named; the others
// are durable when it returns. Of devices that the record does not say belong,
// it takes only so much (exchange.ErrStranger), and of those that belong so much
// for each day (exchange.ErrBudget).
func (r *Replica) Take(runs []entry.Run) (exchange.Taken, error) {
	var all exchange.Taken
	runs, all.Refused = r.budgets(runs)
	for {
		some, turned := r.turnAway(runs)
		taken, err := r.log.Take(some)
		if err == nil {
			err = r.reread()
		}
		if err != nil {
			return all, err
		}
		all.Entries, all.New = append(all.Entries, taken.Entries...), taken.New
		all.Refused = append(all.Refused, taken.Refused...)
		if len(turned) == 0 || len(taken.Entries) == 0 {
			all.Refused = append(all.Refused, turned...)
			return all, nil
		}
		runs = of(runs, turned) // what was taken may have brought their invites
	}
}

// of is the runs that were turned away.
func of(runs []entry.Run, turned []exchange.Refusal) []entry.Run {
	rest := make([]entry.Run, 0, len(turned))
	for _, t := range turned {
		i := slices.IndexFunc(runs, func(r entry.Run) bool { return r.Device == t.Device && r.First == t.First })
		rest = append(rest, runs[i])
	}
	return rest
}

// turnAway takes out the runs of strangers beyond the bounds. A log that comes
// before its invite is within them, and once the invite is here its device is
// no stranger any more: what was turned away is owed still, and comes again.
func (r *Replica) turnAway(runs []entry.Run) (rest []entry.Run, turned []exchange.Refusal) {
	var strange map[entry.DeviceID]bool // strangers that are let in; nil until one is met
	for i := range runs {
		run := &runs[i]
		if !r.stranger(run.Device) {
			rest = append(rest, *run)
			continue
		}
		if strange == nil {
			strange = r.strangers()
		}
		if err := lets(strange, run); err != nil {
			turned = append(turned, exchange.Refusal{Device: run.Device, First: run.First, Err: err})
			continue
		}
		strange[run.Device] = true
		rest = append(rest, *run)
	}
	return rest, turned
}

func lets(strange map[entry.DeviceID]bool, run *entry.Run) error {
	switch {
	case !strange[run.Device] && len(strange) >= exchange.MaxStrangers:
		return fmt.Errorf("%w: logs of %d such devices are kept already", exchange.ErrStranger, len(strange))
	case run.First > exchange.StrangerEntries || run.Last() > exchange.StrangerEntries:
		return fmt.Errorf("%w: %d entries of it are kept at most", exchange.ErrStranger, exchange.StrangerEntries)
	}
	return nil
}

// stranger says whether the record does not say that a device belongs, or
// belonged.
func (r *Replica) stranger(d entry.DeviceID) bool {
	err := r.Belongs(d)
	return errors.Is(err, exchange.ErrStranger) || errors.Is(err, exchange.ErrWaiting)
}

func (r *Replica) strangers() map[entry.DeviceID]bool {
	all := map[entry.DeviceID]bool{}
	for _, m := range r.log.Frontier() {
		if r.stranger(m.Device) {
			all[m.Device] = true
		}
	}
	return all
}
