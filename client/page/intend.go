package page

import (
	"errors"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// say is the words that a form has for what can be wrong with its intent.
type say map[client.Wrong]string

// wrongs are the words for what can be wrong with any.
var wrongs = say{
	client.Missing:        "form.missing",
	client.NoAmount:       "form.missing",
	client.NotHere:        "form.nothere",
	client.NoSuchSide:     "form.side",
	client.SideNeeded:     "form.side",
	client.OneDialOnly:    "form.onedial",
	client.OffTheDial:     "form.offdial",
	client.BagUnknown:     "fill.bag",
	client.TwoAmounts:     "form.twice",
	client.MeasureUnknown: "fill.measure.unknown",
	client.CounterUnknown: "meter.counts",
	client.RollUnknown:    "catch.roll",
	client.SpacingUnknown: "catch.spacing",
	client.NoChecks:       "hitch.nolist",
	client.NoHitch:        "hitch.changed",
	client.AnotherHitch:   "hitch.changed",
	client.NoSuchCheck:    "hitch.changed",
	client.NoHold:         "hitch.nohold",
	client.NoSuchHold:     "hitch.nohold",
	client.StrangersHold:  "hitch.strangers.what",
	client.NoCorrection:   "finished.nothing",
	client.NoSuchChoice:   "doubt.choose",
	client.NoFigure:       "form.missing",
	client.FigureUnwanted: "doubt.choose",
	client.AboveReading:   "doubt.began.above",
	client.NothingNew:     "form.nothing",
	client.NoSpecies:      "lot.nospecies",
	client.CoatingUnclear: "lot.counted.ask",
	client.BoxMissing:     "form.box",
	client.OneAim:         "plan.oneaim",
	client.PointTwice:     "chart.twice",
	client.NotRising:      "chart.rises",
	client.NotOwner:       "crew.mayadmit",
	client.NotStruck:      "strike.not",
}

// intend makes the entries that intents say. What is wrong with one goes into
// the form, under the field that has its name; what no field has, under none.
func (q *request) intend(own say, intents ...client.Intent) []entry.Body {
	bodies, err := q.page.farm.Intend(intents...)(func() *farm.View { return q.View }, q.next)
	q.refused = nil
	if !errors.As(err, &q.refused) {
		q.refuseErr("", err)
		return bodies
	}
	for _, r := range q.refused {
		key := own[r.Why]
		if key == "" {
			key = wrongs[r.Why]
		}
		switch {
		case r.Why == client.NoSuchDay || r.Why == client.SpeciesUnknown:
			q.refuseErr(q.fieldOf(r.Field), r.Err)
		case key == "" && r.Err != nil:
			q.refuseErr("", r.Err)
		case key == "":
			q.refuse(q.fieldOf(r.Field), string(r.Why))
		case texts.Takes(key):
			q.refuse(q.fieldOf(r.Field), texts.Text(key, r.Name))
		default:
			q.refuse(q.fieldOf(r.Field), texts.Text(key))
		}
	}
	return nil
}

// fieldOf is an intent's field by its name in the form that was posted; none
// where that form has no such field.
func (q *request) fieldOf(name string) string {
	if q.vals.Has(name) {
		return name
	}
	return ""
}
