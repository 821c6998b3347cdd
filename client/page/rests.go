package page

import (
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func (q *request) restsOf() *sheet.Rests {
	if q.rests == nil {
		r := sheet.RestsOf(q.View)
		q.rests = &r
	}
	return q.rests
}

// AcresRestOn is the open doubts behind how much of a piece of ground is done.
func (q *request) AcresRestOn(g farm.Ground) []words.Doubt { return q.restsOf().Acres(&g) }

// PlanRestsOn is the open doubts behind the plan of a piece of ground.
func (q *request) PlanRestsOn(g farm.Ground) []words.Doubt { return q.restsOf().Plan(&g) }

// RestsOn is the open doubts behind what is shown of a box, a piece of ground, a
// lot or a drill.
func (q *request) RestsOn(id entry.ID) []words.Doubt {
	q.restsOf()
	if b, ok := q.View.BoxOf(id); ok {
		return q.rests.Box(&b)
	}
	if g, ok := q.View.GroundOf(id); ok {
		return q.rests.Ground(&g)
	}
	if l, ok := q.View.LotOf(id); ok {
		return q.rests.Lot(&l)
	}
	if d, ok := q.View.DrillOf(id); ok {
		return q.rests.Drill(&d)
	}
	return nil
}
