package page

import (
	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// levelForm writes what somebody saw in a box.
type levelForm struct{ Box farm.Box }

func (f *levelForm) load(q *request) (err error) {
	f.Box, err = q.pathBox()
	return err
}

func (f *levelForm) bodies(q *request) []entry.Body {
	w := client.Level{Box: f.Box.ID, Side: q.side("side"), Note: q.Val("note"),
		Reading: optional(q.form, "reading", units.ParseReading)}
	if q.Has("mass") {
		w.Mass.Val, w.MassIn = q.massIn("mass")
		w.Mass.Set = true
	} else {
		w.Share = optional(q.form, "share", units.ParseShare)
	}
	return q.intend(say{client.NoAmount: "level.nothing"}, w)
}

func (f *levelForm) done() string { return "/box/" + f.Box.ID.String() }

// drainForm writes that seed was let out of a box.
type drainForm struct{ Box farm.Box }

func (f *drainForm) load(q *request) (err error) {
	f.Box, err = q.pathBox()
	return err
}

func (f *drainForm) bodies(q *request) []entry.Body {
	w := client.Drain{Box: f.Box.ID, Side: q.side("side"), All: q.Val("how") != "some",
		Where: q.Val("where"), Reading: optional(q.form, "reading", units.ParseReading)}
	w.Mass, w.MassIn = q.massIn("mass")
	return q.intend(say{client.NoAmount: "drain.nothing"}, w)
}

func (f *drainForm) done() string { return "/box/" + f.Box.ID.String() }
