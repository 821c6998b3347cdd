package page

import (
	"errors"
	"net/url"
	"strings"

	"turnrow/client/fields"
	"turnrow/client/safetext"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// form is what somebody typed, and what is wrong with it.
type form struct {
	*fields.Reader
	vals  url.Values
	Wrong map[string]string // by field; under "" what is wrong with all of it
}

// newForm is a form as it was typed, by somebody who sees a system of units.
func newForm(vals url.Values, s units.System) *form {
	f := &form{vals: vals, Wrong: map[string]string{}}
	f.Reader = &fields.Reader{Texts: posted(vals), Labelled: true, System: s, Refuse: f.refuseErr}
	return f
}

// posted is what was typed in the fields of a form: blanks around it are none
// of it, and a field of blanks is open.
type posted url.Values

func (p posted) Typed(name string) (string, bool) {
	text := strings.TrimSpace(url.Values(p).Get(name))
	return text, text != ""
}

func (p posted) Each(name string) (list []string) {
	for _, text := range p[name] {
		if text = strings.TrimSpace(text); text != "" {
			list = append(list, text)
		}
	}
	return list
}

// Val is what is typed in a field.
func (f *form) Val(name string) string { return f.Text(name) }

// Or is what is typed in a field, or what stands there to begin with.
func (f *form) Or(name, begin string) string {
	if f.vals.Has(name) {
		return f.vals.Get(name)
	}
	return begin
}

// Picked says whether a choice is taken; begin is taken where nothing is.
func (f *form) Picked(name, choice, begin string) bool { return f.Or(name, begin) == choice }

func (f *form) refuse(name, text string) {
	if f.Wrong[name] == "" {
		f.Wrong[name] = text
	}
}

// refuseErr says what is wrong with a field, in the page's words where it has
// some.
func (f *form) refuseErr(name string, err error) {
	var range_ *entry.RangeError
	var whole *fields.NotWhole
	var day *fields.NoDay
	var row *fields.NoRow
	var twice *fields.RowTwice
	switch {
	case err == nil:
	case refusal(err) != "":
		f.refuse("", refusal(err))
	case errors.As(err, &range_):
		f.refuse(name, range_.Error())
	case errors.As(err, &whole):
		f.refuse(name, texts.Text("form.whole", whole.Text))
	case errors.As(err, &day):
		f.refuse(name, texts.Text("form.day"))
	case errors.As(err, &row):
		f.refuse(name, texts.Text("catch.which.bad", row.Text, fields.MostRows))
	case errors.As(err, &twice):
		f.refuse(name, texts.Text("catch.which.twice", twice.Row))
	case errors.Is(err, fields.ErrTwoWays):
		f.refuse(name, texts.Text("form.parts", f.Val(name)))
	default:
		f.refuse(name, err.Error())
	}
}

// obeyed refuses each text with a character in it that whatever shows it may
// obey.
func (f *form) obeyed() {
	for name, list := range f.vals {
		for _, text := range list {
			var bad *safetext.Error
			if errors.As(safetext.Check(text), &bad) {
				f.refuse(name, texts.Text("form.obeyed", safetext.Line(string(bad.Char))))
			}
		}
	}
}

// need asks for a field.
func (f *form) need(name string) bool {
	if !f.Has(name) {
		f.refuse(name, texts.Text("form.missing"))
		return false
	}
	return true
}

// id is the thing that a field names; zero where it names none.
func (f *form) id(name string) entry.ID {
	id, err := entry.ParseID(f.Val(name))
	if err != nil {
		return entry.ID{}
	}
	return id
}
