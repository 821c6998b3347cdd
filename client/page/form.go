package page

import (
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// form is what somebody typed, and what is wrong with it.
type form struct {
	vals   url.Values
	system units.System
	Wrong  map[string]string // by field; under "" what is wrong with all of it
}

// Val is what is typed in a field.
func (f *form) Val(name string) string { return strings.TrimSpace(f.vals.Get(name)) }

// Has says whether anything is typed in a field.
func (f *form) Has(name string) bool { return f.Val(name) != "" }

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

func (f *form) refuseErr(name string, err error) {
	var range_ *entry.RangeError
	if err != nil && errors.As(err, &range_) {
		err = range_
	}
	if err != nil {
		f.refuse(name, err.Error())
	}
}

// need asks for a field.
func (f *form) need(name string) bool {
	if !f.Has(name) {
		f.refuse(name, words.text("form.missing"))
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

// side is a compartment, from 1; 0 for all.
func (f *form) side(name string) int64 {
	n, _ := strconv.ParseInt(f.Val(name), 10, 64)
	return n
}

// parser is the shape of the parsers in units.
type parser[T any] func(string, ...units.Option) (T, error)

// read parses a field where something is typed in it.
func read[T any](f *form, name string, parse parser[T], opts ...units.Option) (v T) {
	if !f.Has(name) {
		return v
	}
	return readText(f, name, f.Val(name), parse, opts...)
}

// readText parses a text of a field. People type numbers as their phone's
// keyboard has them, so a comma may be a decimal one.
func readText[T any](f *form, name, text string, parse parser[T], opts ...units.Option) T {
	v, err := parse(text, append(opts, units.DecimalComma())...)
	f.refuseErr(name, err)
	return v
}

// optional parses a field that may be left open.
func optional[T any](f *form, name string, parse parser[T], opts ...units.Option) (o entry.Opt[T]) {
	if f.Has(name) {
		o = entry.Some(read(f, name, parse, opts...))
	}
	return o
}

// bare is the unit of a number without one, in the units shown.
func (f *form) bare(us, metric string) units.Option {
	if f.system == units.Metric {
		return units.Bare(metric)
	}
	return units.Bare(us)
}

// massIn is a mass and the units that it was typed in.
func (f *form) massIn(name string) (m units.Mass, in units.In) {
	m = read(f, name, units.ParseMass, f.bare("lb", "kg"), units.KeepIn(&in))
	return m, in
}

// masses are texts of what a kitchen scale showed, and the units that all were
// typed in.
func (f *form) masses(name string, texts []string) (list []units.Mass, in units.In) {
	ins := make([]units.In, len(texts))
	for i, text := range texts {
		list = append(list, readText(f, name, text, units.ParseMass, units.Bare("g"), units.KeepIn(&ins[i])))
	}
	return list, units.OneIn(ins)
}

// grams is a mass on a kitchen scale.
func (f *form) grams(name string) units.Mass {
	return read(f, name, units.ParseMass, units.Bare("g"))
}

// rate is a rate of what is in the bag.
func (f *form) rate(name string, opts ...units.Option) units.RatePerArea {
	return read(f, name, units.ParseRate, append(opts, f.bare("lb/ac", "kg/ha"))...)
}

// whole is a number of things that come in ones: its comma parts thousands.
func (f *form) whole(name string) int64 {
	if !f.Has(name) {
		return 0
	}
	n, err := units.ParseCount(f.Val(name))
	f.refuseErr(name, err)
	if n%1000 != 0 {
		f.refuse(name, words.text("form.whole", f.Val(name)))
	}
	return int64(n) / 1000
}

// ones is a field of numbers of things that come in ones, parted at commas or
// spaces.
func (f *form) ones(name string) []string {
	return strings.FieldsFunc(f.Val(name), func(r rune) bool { return r == ',' || parts(r) })
}

// parts reports whether a sign parts numbers and is never in one.
func parts(r rune) bool { return r == ' ' || r == ';' || r == '\n' }

// numbers is a field of numbers, parted at spaces or at commas. Where spaces
// alone part them, a comma within one is a decimal comma; where that cannot be
// told, the field is refused.
func (f *form) numbers(name string) []string {
	text := f.Val(name)
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
		return strings.FieldsFunc(text, func(r rune) bool { return r == ',' })
	}
	f.refuse(name, words.text("form.parts", text))
	return nil
}

// rowNumbers is a field of rows by their numbers: one by one, or from one to
// another, such as 1-4.
func (f *form) rowNumbers(name string) (rows []int64) {
	for _, part := range f.ones(name) {
		from, to, several := strings.Cut(strings.ReplaceAll(part, "–", "-"), "-")
		first, err := strconv.ParseInt(from, 10, 64)
		last := first
		if several && err == nil {
			last, err = strconv.ParseInt(to, 10, 64)
		}
		if err != nil || first < 1 || last < first || last > mostRows {
			f.refuse(name, words.text("catch.which.bad", part, mostRows))
			return nil
		}
		for n := first; n <= last; n++ {
			if slices.Contains(rows, n) {
				f.refuse(name, words.text("catch.which.twice", n))
				return nil
			}
			rows = append(rows, n)
		}
	}
	return rows
}

// mostRows is how many rows a drill may have, as the record takes it.
const mostRows = 1000
