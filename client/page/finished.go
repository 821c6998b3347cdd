package page

import (
	"math"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// finishedForm writes that a piece of ground is finished, or is not after all.
// Counter and map are held against each other while somebody can still look.
type finishedForm struct {
	Ground farm.Ground
	Drill  farm.Drill
	farm.HeldAgainst
	OverText string // the counter over the piece's area, in per cent
}

func (f *finishedForm) load(q *request) (err error) {
	if f.Ground, err = q.pathGround(); err != nil {
		return err
	}
	if f.Drill, err = q.drillOn(f.Ground.ID); err != nil {
		return err
	}
	f.HeldAgainst = f.Ground.HeldAgainst(&f.Drill)
	if f.Check != nil {
		f.OverText = overText(f.Over())
	}
	return nil
}

// drillOn is the drill that worked a piece last; the first of all where none
// did.
func (q *request) drillOn(ground entry.ID) (farm.Drill, error) {
	for _, d := range q.View.Drills {
		if d.Reading != nil && d.Reading.Ground == ground {
			return d, nil
		}
	}
	return q.drill()
}

func overText(over float64) string {
	switch n := percent(math.Abs(over)); {
	case n == "0 %":
		return texts.Text("finished.agree")
	case over > 0:
		return texts.Text("finished.over", n)
	default:
		return texts.Text("finished.under", n)
	}
}

// Times is what the counter's areas would be multiplied by.
func (f *finishedForm) Times() string { return units.Count(f.Correct).String() }

func (f *finishedForm) bodies(q *request) []entry.Body {
	w := client.Finish{Ground: f.Ground.ID, Drill: f.Drill.ID, Not: q.Val("finished") == "no"}
	if r := f.Drill.Reading; r != nil && !w.Not {
		w.Reading = entry.Some(r.Reading)
	}
	w.Correct = !w.Not && q.Val("correct") == "yes"
	return q.intend(nil, w)
}

func (f *finishedForm) done() string { return "/ground/" + f.Ground.ID.String() }
