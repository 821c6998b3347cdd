package page

import (
	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// levelForm writes what somebody saw in a box.
type levelForm struct{ Box farm.Box }

func (f *levelForm) load(q *request) (err error) {
	f.Box, err = q.pathBox()
	return err
}

func (f *levelForm) bodies(q *request) []entry.Body {
	w := q.Level()
	w.Box, w.Side = f.Box.ID, q.side("side", f.Box)
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
	w := q.Drain()
	w.Box, w.Side, w.All = f.Box.ID, q.side("side", f.Box), q.Val("how") != "some"
	return q.intend(say{client.NoAmount: "drain.nothing"}, w)
}

func (f *drainForm) done() string { return "/box/" + f.Box.ID.String() }
