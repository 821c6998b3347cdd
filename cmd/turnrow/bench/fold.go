package bench

import (
	"context"
	"fmt"
	"runtime"
	"time"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/simtest/workload"
	"turnrow/sync/wire"
)

const lates = 200 // entries that arrive late

// fold applies n entries to a farm's state, and then some of a device whose
// log arrives late.
func (b *bench) fold(_ context.Context, n int) (map[string]Figures, error) {
	f, err := workload.NewFarm("Fold", workload.Devices+1)
	if err != nil {
		return nil, err
	}
	last := f.Writers[len(f.Writers)-1]
	f.Writers = f.Writers[:len(f.Writers)-1]
	runs, err := f.Lines(n)
	if err != nil {
		return nil, err
	}
	late, err := lateRuns(last, f, n)
	if err != nil {
		return nil, err
	}
	r := reader{farm: f.ID, heads: map[entry.DeviceID]chain.Head{}}
	start, err1 := r.read(f.Start)
	es, err2 := r.read(runs)
	tail, err3 := r.read(late)
	for _, err := range []error{err1, err2, err3} {
		if err != nil {
			return nil, err
		}
	}
	return map[string]Figures{keyFold: folded(f.ID, start, es, tail)}, nil
}

// lateRuns is what one more device wrote in the middle of the day.
func lateRuns(w *workload.Writer, f *workload.Farm, n int) ([]entry.Run, error) {
	var runs []entry.Run
	for i, l := range workload.Lines(lates) {
		l.Time += int64(n/2+i) * 700
		run, err := w.Run(f.Things.Draft(l))
		if err != nil {
			return nil, err
		}
		runs = append(runs, run)
	}
	return runs, nil
}

func folded(id entry.FarmID, start, es, late []entry.Entry) Figures {
	s := farm.New(id)
	s.Apply(start...)
	before := heap()
	begun := time.Now()
	s.Apply(es...)
	took := time.Since(begun)
	kept := float64(heap()-before) / float64(len(es))
	begun = time.Now()
	for i := range late {
		s.Apply(late[i])
	}
	lateTook := time.Since(begun)
	begun = time.Now()
	s.View()
	view := time.Since(begun)
	runtime.KeepAlive(es)
	return Figures{
		"ns_per_entry": float64(took) / float64(len(es)), "bytes_per_entry": kept,
		"late_us": float64(lateTook) / lates / float64(time.Microsecond), "view_ms": millis(view),
	}
}

// heap is the bytes in use after a collection; twice, as pools let go of what
// they hold only then.
func heap() int64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// reader reads runs as they come, each device's in their order.
type reader struct {
	farm  entry.FarmID
	heads map[entry.DeviceID]chain.Head
}

func (r *reader) read(runs []entry.Run) ([]entry.Entry, error) {
	var all []entry.Entry
	for _, run := range runs {
		head, ok := r.heads[run.Device]
		if !ok {
			var err error
			if head, err = wire.Start(r.farm, run.Device, run.Entries[0]); err != nil {
				return nil, err
			}
		}
		_, next, es, err := wire.Open(head, run, nil)
		if err != nil {
			return nil, fmt.Errorf("run of %s from %d: %w", run.Device, run.First, err)
		}
		r.heads[run.Device], all = next, append(all, es...)
	}
	return all, nil
}
