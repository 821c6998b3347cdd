package work

import (
	"turnrow/sync/farm/thing"
)

// SameDrill says whether two boxes are on one drill.
func (s *Work) SameDrill(a, b *thing.Thing) bool {
	return a.Kind != thing.Box || s.DrillFor(a) == s.DrillFor(b)
}
