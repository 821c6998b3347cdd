package client

import (
	"errors"
	"iter"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// Runs gives the whole record as it was written and signed, each device's runs
// in order. It needs no identity: a restored home gives what it holds.
func (f *Farm) Runs() iter.Seq2[entry.Run, error] {
	return func(yield func(entry.Run, error) bool) {
		for _, m := range f.replica.Have() {
			err := eachRun(f.replica, m.Log, func(run *entry.Run) error {
				if !yield(*run, nil) {
					return errEnough
				}
				return nil
			})
			if err != nil {
				if !errors.Is(err, errEnough) {
					yield(entry.Run{}, err)
				}
				return
			}
		}
	}
}

// eachRun walks one log.
func eachRun(r *replica.Replica, log entry.LogID, do func(*entry.Run) error) error {
	next, more := uint64(1), true
	for more {
		var runs []entry.Run
		var err error
		if runs, more, err = r.Log().Runs(log, next, exchange.UsualBatch); err != nil {
			return err
		}
		for i := range runs {
			if err := do(&runs[i]); err != nil {
				return err
			}
			next = runs[i].Last() + 1
		}
		more = more && len(runs) > 0
	}
	return nil
}
