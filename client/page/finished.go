package page

import (
	"math"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// finishedForm writes that a piece of ground is finished, or is not after all.
// Counter and map are held against each other while somebody can still look.
type finishedForm struct {
	Ground  farm.Ground
	Drill   farm.Drill
	Area    units.Area // by its boundary, or as it was stated; 0 where neither is known
	Mapped  bool       // by its boundary
	Over    string     // the counter over that, in per cent
	Check   *rate.CounterCheck
	Correct int64 // what the counter would be taken for from here on, in thousandths; 0 where nothing is offered
}

func (f *finishedForm) load(q *request) (err error) {
	if f.Ground, err = q.pathGround(); err != nil {
		return err
	}
	if f.Drill, err = q.drillOn(f.Ground.ID); err != nil {
		return err
	}
	f.Area = f.Ground.Area
	if a, err := sheet.MapArea(&f.Ground); err == nil && a > 0 {
		f.Area, f.Mapped = a, true
	}
	if !f.Ground.Open && f.Ground.Done > 0 && f.Area > 0 {
		f.check()
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

func (f *finishedForm) check() {
	c, err := rate.CheckCounter(f.Area, f.Ground.Done, f.Mapped)
	if err != nil {
		return
	}
	f.Check = &c
	over := f.Ground.Done.Acres()/f.Area.Acres() - 1
	switch n := percent(math.Abs(over)); {
	case n == "0 %":
		f.Over = words.text("finished.agree")
	case over > 0:
		f.Over = words.text("finished.over", n)
	default:
		f.Over = words.text("finished.under", n)
	}
	if c.Correction == 0 || c.Verdict == rate.CounterAgrees || c.Verdict == rate.CounterUnclear {
		return
	}
	was := f.Drill.Correction
	if was == 0 {
		was = 1000
	}
	f.Correct = (was*c.Correction + 500) / 1000
}

// Times is what the counter's areas would be multiplied by.
func (f *finishedForm) Times() string { return units.Count(f.Correct).String() }

func (f *finishedForm) bodies(q *request) []entry.Body {
	b := &entry.GroundFinished{Ground: f.Ground.ID, Drill: f.Drill.ID, Finished: q.Val("finished") != "no"}
	if r := f.Drill.Reading; r != nil && b.Finished {
		b.Reading = entry.Some(r.Reading)
	}
	if b.Finished && q.Val("correct") == "yes" {
		if f.Correct == 0 {
			q.refuse("correct", words.text("finished.nothing"))
		}
		b.Correction = entry.Some(f.Correct)
	}
	return []entry.Body{b}
}

func (f *finishedForm) done() string { return "/ground/" + f.Ground.ID.String() }
