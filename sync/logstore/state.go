package logstore

import (
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// state is how far a farm's record goes: the head of each device's log, by
// device, and the branches beside them. A state and what it points at never
// change once made.
type state struct {
	heads    []*chain.Head  // sorted by log, each once
	frontier chain.Frontier // frontier[i] is heads[i].Mark()
	branches []*branch      // other branches of forked logs
}

func (s *state) find(log entry.LogID) (int, bool) {
	return slices.BinarySearchFunc(s.heads, log, func(h *chain.Head, log entry.LogID) int { return h.Log.Compare(log) })
}

// head is the head of a device's own log, nil where that has none.
func (s *state) head(log entry.LogID) *chain.Head {
	if i, ok := s.find(log); ok {
		return s.heads[i]
	}
	return nil
}

// with is the state with heads in the place of their logs' own.
func (s *state) with(heads ...*chain.Head) *state {
	if len(heads) == 0 {
		return s
	}
	next := &state{heads: slices.Clone(s.heads), branches: s.branches}
	for _, h := range heads {
		if i, ok := next.find(h.Log); ok {
			next.heads[i] = h
		} else {
			next.heads = slices.Insert(next.heads, i, h)
		}
	}
	next.frontier = make(chain.Frontier, len(next.heads))
	for i, h := range next.heads {
		next.frontier[i] = h.Mark()
	}
	return next
}

// latest is the latest clock at any log's end that a device may follow whose
// wall clock (ms since 1970) is wall.
func (s *state) latest(wall int64) hlc.Time {
	var t hlc.Time
	for _, h := range s.heads {
		t = hlc.Later(t, h.Clock, wall)
	}
	return t
}
