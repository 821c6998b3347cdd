package logstore

import (
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// BehindError reports a Record by a device that has lost entries of its own
// that others may have: it would use their numbers again.
type BehindError struct {
	Device entry.DeviceID
	Held   uint64 // its last entry here
	Given  uint64 // its last entry that others may have; 0 where that is not known
}

func (b *BehindError) Error() string {
	if b.Given == 0 {
		return fmt.Sprintf("logstore: how far others hold the log of device %s is not known since the store was damaged", b.Device)
	}
	return fmt.Sprintf("logstore: device %s ends at entry %d here, and others may have it up to %d: these must come back first",
		b.Device, b.Held, b.Given)
}

// writesOn says whether a log that ends at a head, nil for none, can be
// recorded to without using a number twice.
func (e *engine) writesOn(name logName, h *chain.Head) error {
	var seq uint64
	if h != nil {
		seq = h.Seq
	}
	if e.unproved.Load() {
		return &BehindError{name.log.Device(), seq, 0}
	}
	if given := e.mark.given(name); seq < given {
		return &BehindError{name.log.Device(), seq, given}
	}
	return e.try(func() error { return e.mark.own(name, seq) })
}

// Behind says whether a device that records here has lost entries that others
// may have: nil where it has not.
func (l *Log) Behind(d entry.DeviceID) error {
	e, err := l.store.reading()
	if err != nil {
		return err
	}
	defer l.store.done()
	m := e.mark
	if m == nil {
		return nil
	}
	if e.unproved.Load() {
		return &BehindError{Device: d}
	}
	if h, given := l.durable.Load().head(d.Log()), m.given(logName{l.farm, d.Log()}); given > 0 && (h == nil || h.Seq < given) {
		b := &BehindError{Device: d, Given: given}
		if h != nil {
			b.Held = h.Seq
		}
		return b
	}
	return nil
}

// giveAll notes that others are given all that is recorded here: a backup is.
func (e *engine) giveAll() {
	for _, l := range e.mark.owned() {
		_ = e.try(func() error {
			h, err := headOf(e.db, l.log)
			if err == nil {
				err = e.mark.give(l.log, h.Seq)
			}
			return err
		})
	}
}

// give notes which entries of a log that records here others are given. On a
// disk that takes no writes they are given all the same: that may be all that
// saves them.
func (l *Log) give(e *engine, runs []entry.Run) {
	if e.mark == nil || e.failure() != nil || len(runs) == 0 {
		return
	}
	last := &runs[len(runs)-1]
	name := logName{l.farm, last.Device.Log()}
	if last.Last() > e.mark.given(name) {
		_ = e.try(func() error { return e.mark.give(name, last.Last()) })
	}
}

// RecordedBy is the farm in whose record a device writes here; not ok where
// that is not known.
func (s *Store) RecordedBy(d entry.DeviceID) (entry.FarmID, bool) {
	e, err := s.reading()
	if err != nil {
		return entry.FarmID{}, false
	}
	defer s.done()
	for _, l := range e.mark.owned() {
		if l.log.log == d.Log() {
			return l.log.farm, true
		}
	}
	return entry.FarmID{}, false
}
