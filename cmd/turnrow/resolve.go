package main

import (
	"errors"
	"fmt"
	"strings"

	"turnrow/client/fields"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// find finds things by what the crew calls them, on the drill that --drill
// names.
func (k *call) find() fields.Finder { return fields.Finder{View: k.view(), Drill: k.drill} }

// meant says in the words of the command line why a text names nothing.
func meant[T any](t T, err error) (T, error) { return t, unfound(err) }

func unfound(err error) error {
	var no *fields.NoEntry
	var none *fields.NotSet
	var unknown *fields.Unknown
	var many *fields.Unclear
	switch {
	case errors.As(err, &no):
		return wrongCall{fmt.Errorf("%q is no note: write it as turnrow log prints it, such as 4f2a1c/12", no.Text)}
	case errors.As(err, &none):
		return fmt.Errorf("no %s is set yet: turnrow set FILE sets it", none.What)
	case errors.As(err, &unknown):
		return unknownHere(unknown)
	case errors.As(err, &many):
		return several(many)
	}
	return err
}

func unknownHere(u *fields.Unknown) error {
	switch u.What {
	case "entry":
		return fmt.Errorf("no device's number begins or ends with %q: turnrow log prints the notes", u.Text)
	case "kind":
		return wrongCall{u}
	}
	return u
}

// several says how the one that is meant is named.
func several(u *fields.Unclear) error {
	switch u.What {
	case "box":
		return fmt.Errorf("there is a box %q on more than one drill: say which with --drill", u.Text)
	case "drill":
		return fmt.Errorf("the farm has %d drills: say which with --drill (%s)", len(u.May), strings.Join(u.May, ", "))
	case "device":
		return fmt.Errorf("more than one device is called %s: give its number, as turnrow crew shows it", u.Text)
	case "entry":
		return fmt.Errorf("%q may be %s: write more of it", u.Text, strings.Join(u.May, " or "))
	case "doubt":
		return fmt.Errorf("%q means %d doubts: give the number of one, as turnrow doubts shows it", u.Text, len(u.May))
	case "check":
		return fmt.Errorf("%q is the beginning of several checks: %q and %q", u.Text, u.May[0], u.May[1])
	}
	return u
}

func (k *call) lot(name string) (farm.Lot, error)       { return meant(k.find().Lot(name)) }
func (k *call) ground(name string) (farm.Ground, error) { return meant(k.find().Ground(name)) }
func (k *call) boxesHere() ([]farm.Box, error)          { return meant(k.find().Boxes()) }
func (k *call) box(name string) (farm.Box, error)       { return meant(k.find().Box(name)) }
func (k *call) theDrill() (farm.Drill, error)           { return meant(k.find().TheDrill()) }
func (k *call) doubt(text string) (words.Doubt, error)  { return meant(k.find().Doubt(text)) }

// side is the compartment of a box that --side names; 0 for the whole box.
func (k *call) side(b farm.Box) int64 {
	side, err := k.find().Side(b, k.Text("side"))
	var one *fields.OneSide
	switch {
	case errors.As(err, &one):
		k.fail("--side: box %s has one compartment: leave --side out", one.Box)
	case err != nil:
		k.fail("--side: %w", err)
	}
	return side
}

// entryNamed is an entry that is on this device.
func (k *call) entryNamed(text string) (entry.ID, error) {
	id, err := meant(k.find().Entry(text))
	if err != nil {
		return entry.ID{}, err
	}
	_, err = k.line(id)
	return id, err
}

// thing finds what a text such as box:grain names, or an entry.
func (k *call) thing(text string) (entry.ID, error) {
	if strings.Contains(text, ":") {
		return meant(k.find().Thing(text))
	}
	return k.entryNamed(text)
}

// short is an entry's short form where it names no other device's entry as
// well, and its full form otherwise.
func (k *call) short(id entry.ID) string {
	text := id.Short()
	part, _, _ := strings.Cut(text, "/")
	for _, d := range k.devices() {
		if d.ID.Log() != id.Log && strings.HasSuffix(d.ID.String(), part) {
			return id.String()
		}
	}
	return text
}
