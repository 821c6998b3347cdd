package mobile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"

	"turnrow/client"
	"turnrow/client/fields"
	"turnrow/client/nearest"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// typed are the fields of an intent, as they were given; those that were read are
// kept in mind.
type typed struct {
	values map[string][]string
	read   map[string]bool
}

// Typed is a field's text, and whether there is one.
func (t *typed) Typed(field string) (string, bool) {
	t.read[field] = true
	if list := t.values[field]; len(list) > 0 {
		return list[0], list[0] != ""
	}
	return "", false
}

// Each is the texts of a field that is a list.
func (t *typed) Each(field string) []string {
	t.read[field] = true
	return t.values[field]
}

// parse reads an intent's JSON.
func parse(intent string) (*typed, error) {
	d := json.NewDecoder(bytes.NewReader([]byte(intent)))
	d.UseNumber()
	var raw map[string]any
	if err := d.Decode(&raw); err != nil {
		return nil, refused("intent", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, refused("intent", errors.New("one object is wanted"))
	}
	t := &typed{values: map[string][]string{}, read: map[string]bool{}}
	for name, v := range raw {
		list, isList := v.([]any)
		if !isList {
			list = []any{v}
		}
		for _, one := range list {
			text, err := textOf(one)
			if err != nil {
				return nil, refused(name, err)
			}
			t.values[name] = append(t.values[name], text)
		}
	}
	return t, nil
}

func textOf(v any) (string, error) {
	switch v := v.(type) {
	case nil:
		return "", nil
	case string:
		return v, nil
	case json.Number, bool:
		return fmt.Sprint(v), nil
	}
	return "", errors.New("a text, a number, true or false, or a list of them is wanted")
}

// reading is an intent's fields, read on the farm as it stands. What is wrong first
// is kept.
type reading struct {
	*fields.Reader
	on   *client.Farm
	look client.Look
	err  error
}

// read reads an intent.
func read(f *client.Farm, look client.Look, t *typed) (client.Build, error) {
	s := &reading{on: f, look: look}
	s.Reader = &fields.Reader{Texts: t, System: system(f), Refuse: func(field string, err error) {
		if s.err == nil {
			s.err = refused(field, err)
		}
	}}
	name := s.Text("intent")
	reads, ok := intents[name]
	if !ok {
		return nil, refused("intent", fields.NoSuch("intent", "intents", name, slices.Sorted(maps.Keys(intents))))
	}
	build := reads(s)
	for field := range t.values {
		if !t.read[field] && s.err == nil {
			s.err = refused(field, fmt.Errorf("the intent %s has no such field; %s", name, nearest.Hint(field, "fields", slices.Sorted(maps.Keys(t.read)))))
		}
	}
	return build, s.err
}

// find finds things by what the crew calls them.
func (s *reading) find() fields.Finder { return fields.Finder{View: s.look(), Drill: s.Text("drill")} }

// found is what a field names, or zero where it says nothing.
func found[T any](s *reading, field string, by func(fields.Finder, string) (T, error)) (t T) {
	text, ok := s.Typed(field)
	if !ok {
		return t
	}
	t, err := by(s.find(), text)
	if err != nil {
		s.Refuse(field, err)
	}
	return t
}

func (s *reading) box() farm.Box { return found(s, "box", fields.Finder.Box) }

// boxAndSide are the fields box and side.
func (s *reading) boxAndSide() (farm.Box, int64) {
	b := s.box()
	side, err := s.find().Side(b, s.Text("side"))
	if err != nil && s.err == nil {
		s.Refuse("side", err)
	}
	return b, side
}

func (s *reading) lot() entry.ID    { return found(s, "lot", fields.Finder.Lot).ID }
func (s *reading) ground() entry.ID { return found(s, "ground", fields.Finder.Ground).ID }

func (s *reading) thing(field string) entry.ID { return found(s, field, fields.Finder.Thing) }

func (s *reading) entry(field string) entry.ID { return found(s, field, fields.Finder.Entry) }

// drill is the field drill, or the farm's only one.
func (s *reading) drill() entry.ID {
	d, err := s.find().TheDrill()
	if err != nil {
		s.Refuse("drill", err)
	}
	return d.ID
}
