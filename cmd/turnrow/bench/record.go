package bench

import (
	"errors"
	"sync"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/simtest/workload"
)

const (
	blocks   = 10 // of records and of bare writes, in turn, so that both meet the same noise
	perBlock = 40 // at most, and a 250th of the record
	together = 64 // writers at once
)

// recordDurable records one entry after the other, each with a sync of its
// own, in turn with synced writes of the same bytes, entry and signature, by
// the store's engine alone.
func (c *crew) recordDurable(n int) (Figures, error) {
	size := min(perBlock, max(2, n/250))
	bare, err := logstore.OpenBare(c.home("bare"))
	if err != nil {
		return nil, err
	}
	defer bare.Close()
	d := c.devices[2]
	shadow, err := writer(d, c.home(deviceName(2)))
	if err != nil {
		return nil, err
	}
	var ours, theirs []time.Duration
	for range blocks {
		bodies := c.next(size)
		values, err := written(shadow, bodies)
		if err != nil {
			return nil, err
		}
		record, err1 := timed(func() error { return c.records(d, bodies) })
		write, err2 := timed(func() error { return bare.Write(values) })
		if err := errors.Join(err1, err2); err != nil {
			return nil, err
		}
		ours, theirs = append(ours, record), append(theirs, write)
	}
	record, write := median(ours), median(theirs)
	return Figures{
		"entries_per_s": float64(size) / seconds(record), "bare_writes_per_s": float64(size) / seconds(write),
		"ratio": seconds(write) / seconds(record),
	}, nil
}

// written is the bytes of entries with their signatures.
func written(w *workload.Writer, bodies []entry.Body) ([][]byte, error) {
	var values [][]byte
	for _, b := range bodies {
		run, err := w.Run(entry.Draft{Wall: w.Head.Clock.Millis() + 1, Body: b})
		if err != nil {
			return nil, err
		}
		values = append(values, append(run.Entries[0], run.Sig[:]...))
	}
	return values, nil
}

func timed(do func() error) (time.Duration, error) {
	begun := time.Now()
	err := do()
	return time.Since(begun), err
}

func (c *crew) records(d *device, bodies []entry.Body) error {
	for _, b := range bodies {
		if _, err := d.Record(c.ctx, entry.ID{}, b); err != nil {
			return err
		}
	}
	return nil
}

// recordGrouped has many writers record at once on one device.
func (c *crew) recordGrouped(n int) (Figures, error) {
	each := min(20, max(2, n/500))
	d := c.devices[3]
	alone, err := timed(func() error { return c.records(d, c.next(each)) })
	if err != nil {
		return nil, err
	}
	all := make([][]entry.Body, together)
	for i := range all {
		all[i] = c.next(each)
	}
	errs := make([]error, together)
	took, _ := timed(func() error {
		var wg sync.WaitGroup
		for i := range all {
			wg.Go(func() { errs[i] = c.records(d, all[i]) })
		}
		wg.Wait()
		return nil
	})
	one, many := float64(each)/seconds(alone), float64(together*each)/seconds(took)
	return Figures{"entries_per_s": many, "times_one_writer": many / one}, errors.Join(errs...)
}
