package order

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
)

// Finding is a doubt before it is put into words.
type Finding struct {
	Kind  conflict.DoubtKind
	About string
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
