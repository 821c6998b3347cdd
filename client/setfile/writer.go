package setfile

import (
	"slices"
	"strconv"

	"turnrow/client/nearest"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// writer gathers the bodies that a file comes to.
type writer struct {
	view   *farm.View
	next   func(i int) entry.ID
	bodies []entry.Body
	notes  []string

	// What the file's names mean, once the thing is there or about to be made.
	drill                entry.ID
	boxes, grounds, lots map[string]entry.ID
	dials                map[entry.ID]farm.Box // of the file's boxes, as they will be
}

// note keeps a line to tell, with its place; none where it is empty.
func (w *writer) note(at node, text string) {
	if text != "" {
		w.notes = append(w.notes, at.refuse("%s", text).Error())
	}
}

// add puts a body into the batch, and gives the ID that its entry will have.
func (w *writer) add(at node, b entry.Body) (entry.ID, error) {
	if err := b.Check(); err != nil {
		return entry.ID{}, at.wrap(err)
	}
	w.bodies = append(w.bodies, b)
	return w.next(len(w.bodies) - 1), nil
}

// put adds a body about a thing: one more where it is new, or where something
// changes. It gives the thing's ID either way.
func (w *writer) put(at node, id entry.ID, changes bool, b entry.Body) (entry.ID, error) {
	if !id.IsZero() && !changes {
		return id, nil
	}
	made, err := w.add(at, b)
	if id.IsZero() {
		id = made
	}
	return id, err
}

// thing is what finding by name needs of a thing.
type thing struct {
	id   entry.ID
	name string
}

// match finds the thing that an item is about: the one of its name, or of its
// former name where it gives one. Zero is a new thing.
func (w *writer) match(at node, what, name, was string, things []thing) (entry.ID, error) {
	id, err := only(at, what, name, things)
	if was == "" || err != nil {
		return id, err
	}
	old, err := only(at, what, was, things)
	switch {
	case err != nil:
		return id, err
	case !id.IsZero() && old.IsZero():
		return id, nil // renamed before
	case !id.IsZero():
		return id, at.refuse("%s %q cannot become %q: there is one of that name; leave was out, or give another name", what, was, name)
	case old.IsZero():
		return id, at.refuse("unknown %s %q; %s", what, was, nearest.Hint(was, what+"s", names(things)))
	}
	return old, nil
}

// only is the one thing of a name, zero where there is none.
func only(at node, what, name string, things []thing) (entry.ID, error) {
	var id entry.ID
	for _, t := range things {
		if t.name != name {
			continue
		}
		if !id.IsZero() {
			return id, at.refuse("there is more than one %s %q: settle that doubt or rename one first", what, name)
		}
		id = t.id
	}
	return id, nil
}

// refer finds the thing that a name elsewhere in the file means.
func (w *writer) refer(at node, what, name string, set map[string]entry.ID, things []thing) (entry.ID, error) {
	if id, ok := set[name]; ok {
		return id, nil
	}
	id, err := only(at, what, name, things)
	if err == nil && id.IsZero() {
		all := names(things)
		for n := range set {
			all = append(all, n)
		}
		slices.Sort(all)
		err = at.refuse("unknown %s %q; %s", what, name, nearest.Hint(name, plural(what), slices.Compact(all)))
	}
	return id, err
}

func plural(what string) string {
	switch what {
	case "box":
		return "boxes"
	case "ground":
		return "pieces of ground"
	}
	return what + "s"
}

func names(things []thing) []string {
	list := make([]string, len(things))
	for i, t := range things {
		list[i] = t.name
	}
	return list
}

func things[T any](list []T, of func(*T) thing) []thing {
	ts := make([]thing, len(list))
	for i := range list {
		ts[i] = of(&list[i])
	}
	return ts
}

// changed says whether a field is set to something else than what is so, and
// leaves it out where it is not. A new thing keeps all that was set.
func changed[T comparable](isNew bool, o *entry.Opt[T], now T) bool {
	if !isNew && o.Set && o.Val == now {
		*o = entry.Opt[T]{}
	}
	return o.Set
}

// some says whether any of several fields changed.
func some(fields ...bool) bool { return slices.Contains(fields, true) }

func decimal(n int) string { return strconv.Itoa(n) }
