package exchange

import (
	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// Log is what Owed reads: one farm's record on this replica.
type Log interface {
	// Frontier is how far each device's log is durably held.
	Frontier() chain.Frontier
	// Runs reads a device's log from a number on, in runs that add up to about
	// maxBytes, one run at least, and says whether there is more.
	Runs(d entry.DeviceID, from uint64, maxBytes int) ([]entry.Run, bool, error)
	// Parted says whether a mark lies on another branch of a forked log than
	// the one that is held here; a mark beyond its end does not. Where this
	// replica has not met that branch, from is where to begin a run that shows
	// the mark's holder the fork; else it is 0.
	Parted(m chain.Mark) (parted bool, from uint64, err error)
}

// debt is what is owed of one device's log.
type debt struct {
	device entry.DeviceID
	next   uint64 // first number owed
	once   bool   // what fits will do: it only shows a fork
}

// Owed is what the holder of frontier have lacks of l, in runs of maxBytes in
// all (one run at least, where anything is owed), and whether more is owed than
// that. Each device's log gets its share, so that a long one does not keep the
// short ones waiting: what an entry refers to is mostly in another's log.
func Owed(l Log, have chain.Frontier, maxBytes int) (runs []entry.Run, more bool, err error) {
	debts, err := debts(l, have)
	if err != nil {
		return nil, false, err
	}
	b := batch{left: maxBytes}
	for len(debts) > 0 && !b.full {
		if debts, err = b.round(l, debts); err != nil {
			return nil, false, err
		}
	}
	return b.runs, len(debts) > 0, nil
}

func debts(l Log, have chain.Frontier) ([]debt, error) {
	var owed []debt
	for _, ours := range l.Frontier() {
		theirs := have.Mark(ours.Device)
		parted, from, err := l.Parted(theirs)
		if err != nil {
			return nil, err
		}
		if !parted && theirs.Seq < ours.Seq {
			from = theirs.Seq + 1
		}
		if from > 0 {
			owed = append(owed, debt{ours.Device, from, parted})
		}
	}
	return owed, nil
}

// batch gathers runs up to a number of bytes.
type batch struct {
	runs []entry.Run
	left int
	full bool
}

// round gives each debt an equal share of what room is left, and gives back
// the debts that are not settled by it.
func (b *batch) round(l Log, debts []debt) ([]debt, error) {
	var rest []debt
	for i, d := range debts {
		if b.full {
			return append(rest, debts[i:]...), nil
		}
		runs, more, err := l.Runs(d.device, d.next, b.left/(len(debts)-i))
		if err != nil {
			return nil, err
		}
		taken := b.add(runs)
		if taken > 0 {
			d.next = runs[taken-1].Last() + 1
		}
		if (more || taken < len(runs)) && !d.once {
			rest = append(rest, d)
		}
	}
	return rest, nil
}

// add takes the runs that there is room for, and the very first in any case.
func (b *batch) add(runs []entry.Run) int {
	for i := range runs {
		size := runs[i].Size()
		if len(b.runs) == MaxRuns || len(b.runs) > 0 && size > b.left {
			b.full = true
			return i
		}
		b.runs = append(b.runs, runs[i])
		b.left -= size
	}
	return len(runs)
}
