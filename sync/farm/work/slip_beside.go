package work

import (
	"slices"

	"turnrow/sync/farm/order"
)

// RanBack says whether a reading counts for nothing, since the counter would
// have run back by it.
func (l *CounterLine) RanBack(r *order.Rec) bool {
	return slices.ContainsFunc(l.Back, func(p Point) bool { return p.Rec == r })
}
