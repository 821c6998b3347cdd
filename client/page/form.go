package page

import (
	"errors"
	"net/url"
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
	v, err := parse(f.Val(name), opts...)
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

func (f *form) mass(name string) units.Mass {
	return read(f, name, units.ParseMass, f.bare("lb", "kg"))
}

// grams is a mass on a kitchen scale.
func (f *form) grams(name string) units.Mass {
	return read(f, name, units.ParseMass, units.Bare("g"))
}

func (f *form) rate(name string) units.RatePerArea {
	return read(f, name, units.ParseRate, f.bare("lb/ac", "kg/ha"))
}

// whole is a number of things that come in ones.
func (f *form) whole(name string) int64 {
	n := read(f, name, units.ParseCount)
	if n%1000 != 0 {
		f.refuse(name, words.text("form.whole", f.Val(name)))
	}
	return int64(n) / 1000
}

// parts is a field parted at commas or spaces.
func (f *form) parts(name string) []string {
	return strings.FieldsFunc(f.Val(name), func(r rune) bool { return r == ',' || r == ' ' || r == ';' })
}
