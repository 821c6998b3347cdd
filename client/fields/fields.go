// Package fields turns what people typed into values. The flags of a command,
// the fields of a form and the inputs of an app are alike here: each has a
// name, and a text that somebody typed. What cannot be read is refused under
// the field's name, so that each front end says it in its own place and words.
//
// A [Reader] reads numbers with their units, days and lists; a [Finder] finds
// things by what the crew calls them. [Reader.Fill] and its like read all that
// a person says of one thing that they did, as the intent that package client
// writes.
package fields

import (
	"errors"
	"fmt"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// Texts is where the texts stand, by the names of their fields.
type Texts interface {
	// Typed is the text in a field, and whether anything was typed in it. A text
	// that stands there to begin with may come with false.
	Typed(field string) (text string, typed bool)
	// Each is what was typed in a field that may be given several times.
	Each(field string) []string
}

// Reader reads fields. The zero value of a field that nobody typed anything in
// is the zero value of what it holds, and no error.
type Reader struct {
	Texts
	// Refuse takes what is wrong with the text of a field: an error of package
	// units, or of this one. The field is then read as its zero value.
	Refuse func(field string, err error)
	System units.System // of numbers without a unit
	// Labelled is a form that says beside each field which unit a bare number
	// has, and takes numbers as a phone's keyboard has them: a comma may be a
	// decimal one.
	Labelled bool
	Bushel   units.Mass // what a bushel weighs; 0 where that is not known
	NoBushel error      // why it is not known, though it was published
}

// Parser is the shape of the parsers in package units.
type Parser[T any] func(string, ...units.Option) (T, error)

// Read reads a field by a parser; zero where nothing was typed.
func Read[T any](r *Reader, field string, parse Parser[T], opts ...units.Option) (v T) {
	if text, ok := r.Typed(field); ok {
		return ReadText(r, field, text, parse, opts...)
	}
	return v
}

// ReadText reads a text of a field by a parser.
func ReadText[T any](r *Reader, field, text string, parse Parser[T], opts ...units.Option) (v T) {
	if r.Labelled {
		opts = append(opts[:len(opts):len(opts)], units.DecimalComma())
	}
	v, err := parse(text, opts...)
	if err == nil {
		return v
	}
	if own, ok := units.BushelIn(text); ok && own == 0 && r.NoBushel != nil {
		err = r.NoBushel
	}
	r.Refuse(field, err)
	return v
}

// Optional reads a field that may be left out, and keeps whether it was.
func Optional[T any](r *Reader, field string, parse Parser[T], opts ...units.Option) (o entry.Opt[T]) {
	if r.Has(field) {
		o = entry.Some(Read(r, field, parse, opts...))
	}
	return o
}

// Has says whether anything was typed in a field.
func (r *Reader) Has(field string) bool {
	_, ok := r.Typed(field)
	return ok
}

// Text is what was typed in a field, or stands there to begin with.
func (r *Reader) Text(field string) string {
	text, _ := r.Typed(field)
	return text
}

// Yes says whether a field that is on or off is on.
func (r *Reader) Yes(field string) bool {
	text, ok := r.Typed(field)
	return ok && text != "false"
}

// Bare is the unit of a number without one, in the reader's system.
func (r *Reader) Bare(us, metric string) units.Option {
	if r.System == units.Metric {
		return units.Bare(metric)
	}
	return units.Bare(us)
}

// labelled is the unit that stands beside a field; without one the unit must
// be typed.
func (r *Reader) labelled(us, metric string) units.Option {
	if r.Labelled {
		return r.Bare(us, metric)
	}
	return units.Bare("")
}

// NotWhole is the error for a number of things that come in ones and is none.
type NotWhole struct{ Text string }

func (n *NotWhole) Error() string {
	return fmt.Sprintf("%q is not a whole number, such as 4", n.Text)
}

// Whole is a number of things that come in ones.
func (r *Reader) Whole(field string) int64 {
	if text, ok := r.Typed(field); ok {
		return r.WholeText(field, text)
	}
	return 0
}

// WholeText reads a text of a field as a number of things that come in ones.
// A comma in it parts thousands, in a form too.
func (r *Reader) WholeText(field, text string) int64 {
	n, err := units.ParseCount(text)
	if err == nil && n%1000 != 0 {
		err = &NotWhole{text}
	}
	if err != nil {
		r.Refuse(field, err)
		return 0
	}
	return int64(n) / 1000
}

// Wholes is a field of several numbers of things that come in ones, parted at
// commas, in a form also at spaces.
func (r *Reader) Wholes(field string) (list []int64) {
	for _, text := range r.ones(field) {
		list = append(list, r.WholeText(field, text))
	}
	return list
}

func (r *Reader) ones(field string) []string {
	if r.Labelled {
		return strings.FieldsFunc(r.Text(field), func(c rune) bool { return c == ',' || parts(c) })
	}
	return r.Parts(field)
}

// parts reports whether a sign parts numbers and is never in one.
func parts(c rune) bool { return c == ' ' || c == ';' || c == '\n' }

// Parts is a field's text parted at its commas; none where nothing was typed.
func (r *Reader) Parts(field string) []string {
	text, ok := r.Typed(field)
	if !ok {
		return nil
	}
	return strings.Split(text, ",")
}

// ErrTwoWays is returned for numbers whose commas may part them, or be decimal
// ones.
var ErrTwoWays = errors.New("it can be read in two ways: put spaces between the numbers, and write a decimal with a point")

// Numbers is a field of several numbers with their units. They are parted at
// commas; in a form at spaces or at commas. Where spaces alone part them there,
// a comma within one is a decimal comma; where that cannot be told, the field
// is refused with ErrTwoWays.
func (r *Reader) Numbers(field string) []string {
	if !r.Labelled {
		return r.Parts(field)
	}
	text := r.Text(field)
	list := strings.FieldsFunc(strings.ReplaceAll(text, ", ", " "), parts)
	within, most := 0, 0 // numbers with commas in them, and the most commas in one
	for _, n := range list {
		if c := strings.Count(n, ","); c > 0 {
			within, most = within+1, max(most, c)
		}
	}
	switch {
	case within == 0 || most == 1 && len(list) > 1 && !strings.Contains(text, ", "):
		return list
	case len(list) == 1 && most > 1:
		return strings.FieldsFunc(text, func(c rune) bool { return c == ',' })
	}
	r.Refuse(field, ErrTwoWays)
	return nil
}
