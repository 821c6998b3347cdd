package fact

import (
	"cmp"
	"slices"

	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
)

// likeAmount is how near, in per cent, two amounts are for one fill written
// twice; nearInTime is how near in time, in ms. Both are our own figures.
const (
	likeAmount = 10
	nearInTime = 20 * 60 * 1000
)

// ByWall is events by the wall clocks of the devices that wrote them: what
// happened within minutes is told by those, not by the order of the record.
func ByWall(ds []*thing.Deed) []*thing.Deed {
	earlier := func(a, b *thing.Deed) int { return cmp.Compare(a.At, b.At) }
	if slices.IsSortedFunc(ds, earlier) {
		return ds
	}
	ds = slices.Clone(ds)
	slices.SortStableFunc(ds, earlier)
	return ds
}

// Twins are two entries that look like one thing written twice.
type Twins [2]*order.Rec

// Amount is a fill or a drain with what it came to.
type Amount struct {
	Deed *thing.Deed
	Much int64
}

// Window is the fills, or drains, of one kind that are near in time.
type Window struct {
	In  []Amount
	old int // of them that lie too far back
}

// Until leaves out what lies too far back.
func (w *Window) Until(now int64) []Amount {
	for w.old < len(w.In) && now-w.In[w.old].Deed.At > nearInTime {
		w.old++
	}
	if w.old > len(w.In)/2 {
		w.In, w.old = append(w.In[:0], w.In[w.old:]...), 0
	}
	return w.In[w.old:]
}

// Near says whether two amounts are alike, as near as two people weigh or count one thing.
func Near(a, b int64) bool {
	return (max(a, b)-min(a, b))*100 <= max(a, b)*likeAmount
}
