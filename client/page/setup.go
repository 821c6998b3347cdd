package page

import (
	"turnrow/client/setfile"
	"turnrow/sync/entry"
)

// setupForm takes a set file as text: drill, boxes, chart, ground, lots, plans
// and checks in the words of turnrow's set files.
type setupForm struct{}

func (f *setupForm) load(*request) error { return nil }

func (f *setupForm) bodies(q *request) []entry.Body {
	if !q.need("set") {
		return nil
	}
	file, err := setfile.Parse(texts.Text("setup.file"), []byte(q.vals.Get("set")))
	if err != nil {
		q.refuse("set", err.Error())
		return nil
	}
	bodies, err := file.Entries(q.View, q.id("drill"), q.next)
	if err != nil {
		q.refuse("set", err.Error())
	} else if len(bodies) == 0 {
		q.refuse("set", texts.Text("form.nothing"))
	}
	return bodies
}

func (f *setupForm) done() string { return "/plan" }
