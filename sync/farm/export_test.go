package farm

import (
	"maps"
	"slices"
)

// DoubtKinds are all kinds of doubt that have words, in the order of their
// names.
func DoubtKinds() []DoubtKind { return slices.Sorted(maps.Keys(doubtWords)) }
