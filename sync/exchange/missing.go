package exchange

import (
	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// Log is what Missing reads: one farm's record on this replica.
type Log interface {
	// Frontier is how far each device's log is durably held.
	Frontier() chain.Frontier
	// Runs reads a log from a number on, in runs that add up to about
	// maxBytes, one run at least, and says whether there is more.
	Runs(log entry.LogID, from uint64, maxBytes int) ([]entry.Run, bool, error)
	// Diverged says whether a mark lies on another branch of a forked log than
	// the one that is held here; a mark beyond its end does not. Where this
	// replica has not met that branch, from is where to begin a run that shows
	// the mark's holder the fork; else it is 0.
	Diverged(m chain.Mark) (diverged bool, from uint64, err error)
}

// Branching is a Log that also keeps the other branches of forked logs.
type Branching interface {
	// Branches is how far the branches of forked logs are durably held, under
	// the names that chain.Branch gives them. Runs takes those names.
	Branches() chain.Frontier
	// Known is how far the holder of have holds a branch, as its marks for the
	// branch and for the device's log show.
	Known(branch entry.LogID, have chain.Frontier) (uint64, error)
	// Stored is what is stored of a device's log, with all its branches.
	Stored(d entry.DeviceID) (entries, bytes uint64)
	// Full are the devices of whose logs so many branches are kept that no more
	// are, unless somebody named them.
	Full() []entry.DeviceID
}

// Have is all that is durably held: how far each device's log is, and, of logs
// that are forked, how far each branch is.
func Have(l Log) chain.Frontier {
	f := l.Frontier()
	if b, ok := l.(Branching); ok {
		for _, m := range b.Branches() {
			f = f.With(m)
		}
		for _, d := range b.Full() {
			f = f.With(chain.Mark{Log: chain.Full(d), Seq: 1})
		}
	}
	return f
}

// missingRange is what is missing of one device's log.
type missingRange struct {
	log  entry.LogID
	next uint64 // first number missing
}

// Missing is what the holder of have, as [Have] gives it, lacks of l: in runs of
// maxBytes in all (one run at least, where anything is missing), and whether more is
// missing than that. Each device's log gets its share, so that a long one does not
// keep the short ones waiting: what an entry refers to is mostly in another's
// log.
func Missing(l Log, have chain.Frontier, maxBytes int) (runs []entry.Run, more bool, err error) {
	missing, forks, err := missingRanges(l, have)
	if err != nil {
		return nil, false, err
	}
	b := batch{left: maxBytes}
	for len(missing) > 0 && !b.full {
		if missing, err = b.round(l, missing); err != nil {
			return nil, false, err
		}
	}
	if len(missing) > 0 || b.full {
		return b.runs, true, nil
	}
	return b.runs, false, b.show(l, forks)
}

// missingRanges are what is missing, and of which logs a fork is to be shown.
func missingRanges(l Log, have chain.Frontier) (missing, forks []missingRange, err error) {
	for _, ours := range l.Frontier() {
		theirs := have.Mark(ours.Log)
		diverged, from, err := l.Diverged(theirs)
		switch {
		case err != nil:
			return nil, nil, err
		case diverged && from > 0 && have.Seq(chain.Full(ours.Log.Device())) > 0: // it keeps no more of them
		case diverged && from > 0:
			forks = append(forks, missingRange{ours.Log, from})
		case !diverged && theirs.Seq < ours.Seq:
			missing = append(missing, missingRange{ours.Log, theirs.Seq + 1})
		}
	}
	if b, ok := l.(Branching); ok {
		for _, ours := range b.Branches() {
			known, err := b.Known(ours.Log, have)
			if err != nil {
				return nil, nil, err
			}
			if known < ours.Seq {
				missing = append(missing, missingRange{ours.Log, known + 1})
			}
		}
	}
	return missing, forks, nil
}

// batch gathers runs up to a number of bytes.
type batch struct {
	runs []entry.Run
	left int
	full bool
}

// round gives each missing range an equal share of what room is left, and gives back
// those that are not given whole.
func (b *batch) round(l Log, ranges []missingRange) ([]missingRange, error) {
	var rest []missingRange
	for i, d := range ranges {
		if b.full {
			return append(rest, ranges[i:]...), nil
		}
		runs, more, err := l.Runs(d.log, d.next, b.left/(len(ranges)-i))
		if err != nil {
			return nil, err
		}
		taken := b.add(runs)
		if taken > 0 {
			d.next = runs[taken-1].Last() + 1
		}
		if more || taken < len(runs) {
			rest = append(rest, d)
		}
	}
	return rest, nil
}

// show adds what shows forks, beside the bytes of the batch: less than all of it
// shows nothing, and it is needed only until both sides know.
func (b *batch) show(l Log, forks []missingRange) error {
	for _, d := range forks {
		runs, _, err := l.Runs(d.log, d.next, ShowFork)
		if err != nil {
			return err
		}
		b.runs = append(b.runs, runs...)
	}
	return nil
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
