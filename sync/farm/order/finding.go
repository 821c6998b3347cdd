package order

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/message"
)

// Finding is a doubt before its choices are worked out.
type Finding struct {
	Kind  conflict.DoubtKind
	About message.Message
	Recs  []*Rec
}

// IDsOf is the entries' IDs, in their order.
func IDsOf(rs []*Rec) []entry.ID {
	ids := make([]entry.ID, len(rs))
	for i, r := range rs {
		ids[i] = r.ID()
	}
	return ids
}

// LogsInOrder is the logs by their names.
func (s *Order) LogsInOrder() []*Log {
	ds := slices.Clone(s.Logs)
	slices.SortFunc(ds, func(a, b *Log) int { return a.ID.Compare(b.ID) })
	return ds
}
