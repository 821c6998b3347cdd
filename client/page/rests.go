package page

import (
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
)

// RestsOn is the open doubts behind what is shown of a box or of a piece of
// ground.
func (q *request) RestsOn(id entry.ID) []words.Doubt {
	if q.rests == nil {
		r := sheet.RestsOf(q.View)
		q.rests = &r
	}
	if b, ok := q.View.BoxOf(id); ok {
		return q.rests.Box(&b)
	}
	if g, ok := q.View.GroundOf(id); ok {
		return q.rests.Ground(&g)
	}
	return nil
}
