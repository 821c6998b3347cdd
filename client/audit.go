package client

import (
	"errors"
	"iter"

	"turnrow/client/words"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/logstore"
)

// errEnough ends a walk that its caller has seen enough of.
var errEnough = errors.New("enough")

// Log gives every entry of the record as it was written, in the total order.
func (f *Farm) Log() iter.Seq2[entry.Entry, error] {
	return func(yield func(entry.Entry, error) bool) {
		err := f.replica.Log().Each(nil, func(e entry.Entry) error {
			if !yield(e, nil) {
				return errEnough
			}
			return nil
		})
		if err != nil && !errors.Is(err, errEnough) {
			yield(entry.Entry{}, err)
		}
	}
}

// Lines gives every entry as the audit shows it: with who, on which device,
// and whether it counts.
func (f *Farm) Lines() (lines []words.Line) {
	f.read(func(s *farm.State) { lines = words.Lines(s) })
	return lines
}

// Line is one entry as the audit shows it.
func (f *Farm) Line(id entry.ID) (line words.Line, ok bool) {
	f.read(func(s *farm.State) {
		var l farm.Line
		l, ok = s.Line(id)
		line = words.Of(s).Line(l)
	})
	return line, ok
}

// words is the words for what the core says.
func (f *Farm) words() (w words.Words) {
	f.read(func(s *farm.State) { w = words.Of(s) })
	return w
}

func (f *Farm) read(fn func(*farm.State)) { f.replica.Read(fn) }

// Digest says what this device holds, for comparing with another.
type Digest struct {
	Sum      [32]byte // of the farm's state
	Entries  uint64
	Frontier chain.Frontier
}

// Digest is the digest of the farm's state. Devices that hold the same entries
// have the same.
func (f *Farm) Digest() Digest {
	to := f.replica.Frontier()
	return Digest{Sum: f.replica.Digest(), Entries: to.Entries(), Frontier: to}
}

// Verify walks every chain and signature of the record, and says what it
// found.
func (f *Farm) Verify(progress func(done, total uint64)) (logstore.Report, error) {
	r, err := f.record.Verify(progress)
	if len(r.Faults) > 0 {
		err = errors.Join(err, f.store.Condemn()) // and is put in order when it is opened next
	}
	return r, err
}
