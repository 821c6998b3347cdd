package thing

import (
	"turnrow/sync/units"
)

// A heaped bushel is 2,747.715 cubic inches and a struck one 2,150.42, 1.278
// times as much for the one as for the other: "General tables of units of
// measurement" (NIST Handbook 44, Appendix C). Other measures are taken alike.
const (
	heaped = 1278
	struck = 1000
)

// Levelled is the volume that a measure would hold struck off level.
func Levelled(volume int64, heapedUp bool) int64 {
	if !heapedUp {
		return volume
	}
	v, err := units.MulDiv(volume, heaped, struck)
	if err != nil {
		return 0
	}
	return v
}
