package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// The finders below find things by the names that the crew gave them, in any
// letter case where that leaves only one.

func byName[T any](what, plural, name string, list []T, called func(*T) string) (found T, err error) {
	var like []int
	var known []string
	for i := range list {
		n := called(&list[i])
		if n == name {
			return list[i], nil
		}
		if strings.EqualFold(n, name) {
			like = append(like, i)
		}
		known = append(known, n)
	}
	if len(like) == 1 {
		return list[like[0]], nil
	}
	return found, unknown(what, plural, name, known)
}

func (k *call) lot(name string) (farm.Lot, error) {
	return byName("lot", "lots", name, k.view.Lots, func(l *farm.Lot) string { return l.Name })
}

func (k *call) ground(name string) (farm.Ground, error) {
	return byName("ground", "pieces of ground", name, k.view.Grounds, func(g *farm.Ground) string { return g.Name })
}

// boxesHere are the boxes of the drill that --drill names, or of all.
func (k *call) boxesHere() ([]farm.Box, error) {
	if k.drill == "" {
		return k.view.Boxes, nil
	}
	d, err := k.theDrill()
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(slices.Clone(k.view.Boxes), func(b farm.Box) bool { return b.Drill != d.ID }), nil
}

// box finds a box on the drill that --drill names, or on any.
func (k *call) box(name string) (farm.Box, error) {
	boxes, err := k.boxesHere()
	if err != nil {
		return farm.Box{}, err
	}
	b, err := byName("box", "boxes", name, boxes, func(b *farm.Box) string { return b.Name })
	for _, other := range boxes {
		if err == nil && other.Name == b.Name && other.Drill != b.Drill {
			return b, fmt.Errorf("there is a box %q on more than one drill: say which with --drill", name)
		}
	}
	return b, err
}

// theDrill is the drill that --drill names, or the farm's only one.
func (k *call) theDrill() (farm.Drill, error) {
	switch drills := k.view.Drills; {
	case k.drill != "":
		return byName("drill", "drills", k.drill, drills, drillName)
	case len(drills) == 1:
		return drills[0], nil
	case len(drills) == 0:
		return farm.Drill{}, errors.New("no drill is set yet: turnrow set FILE sets it")
	default:
		var known []string
		for _, d := range drills {
			known = append(known, d.Name)
		}
		return farm.Drill{}, fmt.Errorf("the farm has %d drills: say which with --drill (%s)", len(drills), strings.Join(known, ", "))
	}
}

// side is a compartment of a box by its name or number; 0 for the whole box.
func (k *call) side(b farm.Box) int64 {
	text := k.text("side")
	if text == "" || text == "all" {
		return 0
	}
	for i, name := range b.Sides {
		if strings.EqualFold(name, text) || text == strconv.Itoa(i+1) {
			return int64(i + 1)
		}
	}
	if len(b.Sides) == 0 {
		k.fail("--side: box %s has one compartment: leave --side out", b.Name)
	} else {
		k.fail("--side: %w", unknown("side", "sides", text, b.Sides))
	}
	return 0
}

// entryNamed reads a reference to an entry: DEVICE/NUMBER in full, or with as
// much of the end, or of the beginning, of the device's UUID as tells it apart.
func (k *call) entryNamed(text string) (entry.ID, error) {
	if id, err := entry.ParseID(text); err == nil {
		return k.entryHere(id)
	}
	part, num, ok := strings.Cut(text, "/")
	seq, err := strconv.ParseUint(num, 10, 64)
	if !ok || err != nil || seq == 0 || part == "" {
		return entry.ID{}, wrongCall{fmt.Errorf("%q is no entry: write it as turnrow log prints it, such as 4f2a1c/12", text)}
	}
	var found []entry.ID
	for _, d := range k.view.Devices {
		if s := d.ID.String(); strings.HasSuffix(s, strings.ToLower(part)) || strings.HasPrefix(s, strings.ToLower(part)) {
			found = append(found, entry.ID{Device: d.ID, Seq: seq})
		}
	}
	switch len(found) {
	case 0:
		return entry.ID{}, fmt.Errorf("no device's number begins or ends with %q: turnrow log prints the entries", part)
	case 1:
		return k.entryHere(found[0])
	}
	return entry.ID{}, fmt.Errorf("%q may be %s or %s: write more of it", text, found[0], found[1])
}

func (k *call) entryHere(id entry.ID) (entry.ID, error) {
	_, err := k.line(id)
	return id, err
}

// short is an entry's short form where it names no other device's entry as
// well, and its full form otherwise.
func (k *call) short(id entry.ID) string {
	text := id.Short()
	part, _, _ := strings.Cut(text, "/")
	for _, d := range k.view.Devices {
		if d.ID != id.Device && strings.HasSuffix(d.ID.String(), part) {
			return id.String()
		}
	}
	return text
}
