package page

import (
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
	b := &entry.LevelRead{Box: f.Box.ID, Side: q.side("side"), Note: q.Val("note"),
		Reading: optional(q.form, "reading", units.ParseReading)}
	if q.Has("mass") {
		b.Mass.Val, b.MassIn = q.massIn("mass")
		b.Mass.Set = true
	} else {
		b.Share = optional(q.form, "share", units.ParseShare)
	}
	if !b.Mass.Set && !b.Share.Set {
		q.refuse("mass", words.text("level.nothing"))
	}
	return []entry.Body{b}
}

func (f *levelForm) done() string { return "/box/" + f.Box.ID.String() }

// drainForm writes that seed was let out of a box.
type drainForm struct{ Box farm.Box }

func (f *drainForm) load(q *request) (err error) {
	f.Box, err = q.pathBox()
	return err
}

func (f *drainForm) bodies(q *request) []entry.Body {
	b := &entry.Drained{Box: f.Box.ID, Side: q.side("side"), All: q.Val("how") != "some",
		Where: q.Val("where"), Reading: optional(q.form, "reading", units.ParseReading)}
	b.Mass, b.MassIn = q.massIn("mass")
	if !b.All && b.Mass == 0 {
		q.refuse("mass", words.text("drain.nothing"))
	}
	return []entry.Body{b}
}

func (f *drainForm) done() string { return "/box/" + f.Box.ID.String() }
